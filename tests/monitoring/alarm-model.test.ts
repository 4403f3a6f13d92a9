/**
 * The board against a naive model of it, through thousands of sequences of readings, waits and acts. The model steps
 * minute by minute, knows the diagram of alarm-diagram.ts and shares no code with the board.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type {
  AlarmChange,
  AlarmKind,
  AlarmState,
  Priority,
} from '../../src/monitoring/alarms/alarm.ts';
import {
  type Board,
  type BoardStep,
  ended,
  send,
  settle,
  settleReading,
} from '../../src/monitoring/alarms/alarm-board.ts';
import { boardDue, lapse } from '../../src/monitoring/alarms/alarm-lapse.ts';
import type { AlarmEvent, Condition } from '../../src/monitoring/alarms/alarm-machine.ts';
import { isSetAside } from '../../src/monitoring/alarms/alarm-standing.ts';
import type { Finding } from '../../src/monitoring/finding.ts';
import { type Act, act, beginWatch } from '../../src/monitoring/watch.ts';
import type { Watched } from '../../src/monitoring/watched.ts';
import { diagramEdge } from './alarm-diagram.ts';

const minute = 60;
const hour = 3600;
const begins = 1_000_020;

/** Delays in minutes; a kind that latches and one that does not. */
const kinds = {
  'over-pressure': { latches: true, on: 0, off: 10 },
  temperature: { latches: false, on: 30, off: 15 },
} as const satisfies Partial<Record<AlarmKind, object>>;

type Kind = keyof typeof kinds;

const ranks: readonly Priority[] = ['low', 'medium', 'high'];
/** Hours after which an acknowledged alarm asks again, and for which it may be shelved, by rank. */
const againHours = [168, 24, 1];
const shelfHours = [336, 72, 8];

/** Written the plain way. Times are minutes since the model began. */
class Model {
  readonly kind: Kind;
  now = 0;
  state: AlarmState = 'normal';
  holds = false;
  latched = false;
  since: number | null = null;
  waitingRank = 0;
  /** Minutes that the clock alone waits for what is under way; none where somebody is to act at once. */
  patience = 0;
  rank = 0;
  occurrence = 0;
  known = false;
  shelvedUntil: number | null = null;
  againAt: number | null = null;
  onsets: number[] = [];
  chattering = false;
  told: string[] = [];

  constructor(kind: Kind) {
    this.kind = kind;
  }

  condition(): Condition {
    if (this.holds) return 'holds';
    return this.latched ? 'latched' : 'clear';
  }

  can(event: AlarmEvent): boolean {
    return diagramEdge(this.state, event, this.condition()) !== null;
  }

  take(event: AlarmEvent): void {
    const edge = diagramEdge(this.state, event, this.condition());
    if (edge === null) return;
    this.state = edge.state;
    if (edge.transition !== null) this.told.push(edge.transition);
    if (this.state !== 'shelved') this.shelvedUntil = null;
    if (this.state !== 'acknowledged') this.againAt = null;
  }

  turnsAfter(): number {
    const { on, off } = kinds[this.kind];
    if (!this.holds) return on;
    return this.chattering ? Math.max(off, 120) : off;
  }

  turn(): void {
    const since = this.since ?? this.now;
    this.since = null;
    this.holds = !this.holds;
    if (!this.holds) {
      if (this.chattering) this.onsets = [];
      this.chattering = false;
      this.take('condition-ends');
      return;
    }
    this.onsets = [...this.onsets, since].slice(-3);
    const [first, , third] = this.onsets;
    if (first !== undefined && third !== undefined && third - first <= 240) this.chattering = true;
    this.latched = kinds[this.kind].latches;
    this.rank = this.waitingRank;
    this.occurrence += 1;
    this.take('condition-begins');
  }

  find(condition: Finding['condition'], rank: number, byReading: boolean): void {
    this.known = true;
    const patience = byReading && rank < 2 ? 15 : 0;
    this.patience = this.since === null ? patience : Math.min(this.patience, patience);
    if (condition !== (this.holds ? 'clear' : 'holds')) {
      this.since = null;
      if (this.holds && condition === 'holds' && rank > this.rank) {
        this.rank = rank;
        this.take('worsen');
      }
      return;
    }
    this.since ??= this.now;
    this.waitingRank = rank;
    if (this.now - this.since >= this.turnsAfter()) this.turn();
  }

  tick(): void {
    this.now += 1;
    if (this.since !== null && this.now >= this.since + this.turnsAfter() + this.patience)
      this.turn();
    if (this.shelvedUntil !== null && this.now >= this.shelvedUntil) this.take('unshelve');
    if (this.againAt !== null && this.holds && this.now >= this.againAt) this.take('re-alarm');
  }

  end(): void {
    if (!this.known) return;
    this.since = null;
    if (!this.holds) {
      this.onsets = [];
      return;
    }
    this.holds = false;
    this.onsets = [];
    this.chattering = false;
    this.take('condition-ends');
  }
}

/** The board with its clock and everything that it told. */
class Real {
  readonly kind: Kind;
  readonly name: string;
  readonly taking: typeof settle;
  now = begins;
  board: Board = {};
  history: AlarmChange[] = [];

  constructor(kind: Kind, taking: typeof settle) {
    this.kind = kind;
    this.taking = taking;
    this.name = kind === 'temperature' ? 'temperature:temperature' : kind;
  }

  taken({ board, changes }: BoardStep): void {
    this.board = board;
    this.history.push(...changes);
  }
}

const findingOf = (
  kind: Kind,
  condition: Finding['condition'],
  rank: number,
  at: number,
): Finding => ({
  kind,
  channel: kind === 'temperature' ? 'temperature' : null,
  condition,
  at,
  priority: ranks[rank] ?? 'low',
  onDelaySeconds: kinds[kind].on * minute,
  offDelaySeconds: kinds[kind].off * minute,
  words: () => ({
    evidence: `${condition} at ${at}`,
    likelyCauses: [],
    checkFirst: [],
    caution: null,
  }),
});

const watched = { vessel: {}, batch: null } as unknown as Watched;

let compared = 0;
let sequences = 0;
const statesSeen = new Set<AlarmState>();
const toldSeen = new Set<string>();

const agree = (model: Model, real: Real): void => {
  const entry = real.board[real.name];
  compared += 1;
  expect(real.history.map(({ transition }) => transition)).toEqual(model.told);
  if (entry === undefined) {
    expect(model.known).toBe(false);
    return;
  }
  const { alarm, holds, latched } = entry;
  statesSeen.add(alarm.state);
  const inMinutes = (time: number | null) => (time === null ? null : (time - begins) / minute);
  expect({
    state: alarm.state,
    holds,
    latched,
    occurrence: alarm.occurrence,
    chattering: alarm.chattering,
    shelvedUntil: inMinutes(alarm.shelvedUntil),
    reAlarmAt: inMinutes(alarm.reAlarmAt),
    differsSince: inMinutes(entry.differsSince),
  }).toEqual({
    state: model.state,
    holds: model.holds,
    latched: model.latched,
    occurrence: model.occurrence,
    chattering: model.chattering,
    shelvedUntil: model.shelvedUntil,
    reAlarmAt: model.againAt,
    differsSince: model.since,
  });
  if (alarm.occurrence > 0) expect(alarm.priority).toBe(ranks[model.rank]);
  lawful(real, alarm.state);
};

/** What must hold of the board whatever the model says. */
const lawful = (real: Real, state: AlarmState): void => {
  const entry = real.board[real.name];
  if (entry === undefined) return;
  const { alarm, holds, latched } = entry;
  // No alarm both standing and normal.
  if (state === 'normal') expect(holds || latched).toBe(false);
  if (state === 'unacknowledged' || state === 'acknowledged') expect(holds).toBe(true);
  if (state === 'returned-unacknowledged') expect(holds).toBe(false);
  if (state.startsWith('latched')) expect([holds, latched]).toEqual([false, true]);
  // Shelving always ends, and something wakes up for it.
  expect(alarm.shelvedUntil !== null).toBe(state === 'shelved');
  if (alarm.shelvedUntil !== null) {
    expect(alarm.shelvedUntil).toBeGreaterThan(real.now);
    expect(boardDue(real.board)).toBeLessThanOrEqual(alarm.shelvedUntil);
  }
  expect(alarm.reAlarmAt !== null).toBe(state === 'acknowledged');
  expect(alarm.setAside !== null).toBe(isSetAside(state));
  // The history replays to the present state, step by step along the diagram.
  expect(real.history.at(-1)?.alarm.state ?? 'normal').toBe(state);
  let before: AlarmState = 'normal';
  let standing = false;
  let occurrence = 0;
  for (const { transition, alarm: after } of real.history) {
    expect(after.occurrence).toBeGreaterThanOrEqual(occurrence);
    if (transition === 'raised') {
      // Occurrences increase, and none is raised twice without an end in between.
      expect(after.occurrence).toBeGreaterThan(occurrence);
      expect(standing).toBe(false);
    }
    standing = after.state === 'unacknowledged' || after.state === 'acknowledged';
    occurrence = after.occurrence;
    before = after.state;
  }
  expect(before).toBe(state);
};

type Command = fc.Command<Model, Real>;

class Find implements Command {
  readonly condition: Finding['condition'];
  readonly rank: number;
  constructor(condition: Finding['condition'], rank: number) {
    this.condition = condition;
    this.rank = rank;
  }
  check = (): boolean => true;
  run(model: Model, real: Real): void {
    // Each reading has a time of its own: one of the same time would be a correction of the other.
    model.tick();
    real.now += minute;
    real.taken(lapse(real.board, real.now));
    const finding = findingOf(real.kind, this.condition, this.rank, real.now);
    real.taken(real.taking(real.board, finding, null, real.now));
    // A finding about the present that agrees with an alarm never heard of is not written down.
    if (real.board[real.name] !== undefined)
      model.find(this.condition, this.rank, real.taking === settleReading);
    agree(model, real);
  }
  toString = (): string => `find ${this.condition} rank ${this.rank}`;
}

class Wait implements Command {
  readonly minutes: number;
  readonly awake: boolean;
  constructor(minutes: number, awake: boolean) {
    this.minutes = minutes;
    this.awake = awake;
  }
  check = (): boolean => true;
  run(model: Model, real: Real): void {
    for (let passed = 0; passed < this.minutes; passed += 1) model.tick();
    const until = real.now + this.minutes * minute;
    // Woken for each thing that is due, or only at the end, as after an outage.
    while (this.awake) {
      const due = boardDue(real.board);
      if (due === null || due > until) break;
      real.now = Math.max(real.now, due);
      real.taken(lapse(real.board, real.now));
    }
    real.now = until;
    real.taken(lapse(real.board, until));
    agree(model, real);
  }
  toString = (): string => `wait ${this.minutes} min${this.awake ? '' : ' asleep'}`;
}

class Do implements Command {
  readonly kind: Act['kind'];
  readonly shelfMinutes: number;
  constructor(kind: Act['kind'], shelfMinutes: number) {
    this.kind = kind;
    this.shelfMinutes = shelfMinutes;
  }
  check = (): boolean => true;
  run(model: Model, real: Real): void {
    const deed: Act = {
      kind: this.kind,
      alarm: real.name,
      by: 'Maren',
      note: 'seen to',
      until: real.now + this.shelfMinutes * minute,
    };
    const state = { ...beginWatch(watched, real.now), board: real.board };
    const answer = act(watched, state, deed, real.now);
    const longest = (shelfHours[model.rank] ?? 0) * 60;
    const allowed =
      model.occurrence > 0 &&
      model.can(this.kind) &&
      (this.kind !== 'shelve' || this.shelfMinutes <= longest);
    expect(answer.ok).toBe(allowed);
    if (!answer.ok) return;
    for (const change of answer.value.changes)
      expect([change.by, change.note, change.at]).toEqual(['Maren', 'seen to', real.now]);
    real.taken({ board: answer.value.state.board, changes: answer.value.changes });
    if (this.kind === 'reset') model.latched = false;
    model.take(this.kind);
    if (this.kind === 'shelve') model.shelvedUntil = model.now + this.shelfMinutes;
    if (model.state === 'acknowledged')
      model.againAt = model.now + (againHours[model.rank] ?? 0) * 60;
    agree(model, real);
  }
  toString = (): string => `${this.kind}${this.kind === 'shelve' ? ` ${this.shelfMinutes}` : ''}`;
}

class Design implements Command {
  readonly event: 'suppress' | 'unsuppress';
  constructor(event: 'suppress' | 'unsuppress') {
    this.event = event;
  }
  check = (): boolean => true;
  run(model: Model, real: Real): void {
    const setAside = { by: null, at: real.now, why: 'another stage' };
    const step = send(
      real.board,
      real.name,
      this.event,
      { at: real.now, by: null, note: null },
      (alarm) => ({ ...alarm, setAside }),
    );
    expect(step !== null).toBe(model.known && model.can(this.event));
    if (step === null) return;
    real.taken(step);
    model.take(this.event);
    agree(model, real);
  }
  toString = (): string => this.event;
}

class End implements Command {
  check = (): boolean => true;
  run(model: Model, real: Real): void {
    real.taken(ended(real.board, real.name, 'the batch has left', real.now));
    model.end();
    agree(model, real);
  }
  toString = (): string => 'end';
}

const commands: fc.Arbitrary<Command>[] = [
  fc
    .tuple(
      fc.constantFrom<Finding['condition']>('holds', 'holds', 'clear', 'clear', 'between'),
      fc.nat({ max: 2 }),
    )
    .map(([condition, rank]) => new Find(condition, rank)),
  fc
    .tuple(
      fc.oneof(fc.integer({ min: 1, max: 45 }), fc.integer({ min: 1, max: 30 * 60 })),
      fc.boolean(),
    )
    .map(([minutes, awake]) => new Wait(minutes, awake)),
  fc
    .tuple(
      fc.constantFrom<Act['kind']>(
        'acknowledge',
        'acknowledge',
        'reset',
        'shelve',
        'unshelve',
        'remove-from-service',
        'return-to-service',
      ),
      fc.integer({ min: 1, max: 20 * 60 }),
    )
    .map(([kind, shelf]) => new Do(kind, shelf)),
  fc.constantFrom('suppress' as const, 'unsuppress' as const).map((event) => new Design(event)),
  fc.constant(new End()),
];

test.each(['over-pressure', 'temperature'] as const)(
  'the board does what the naive model does: %s',
  (kind) => {
    compared = 0;
    sequences = 0;
    statesSeen.clear();
    toldSeen.clear();
    fc.assert(
      fc.property(
        fc.commands(commands, { size: 'max', maxCommands: 80 }),
        fc.constantFrom(settle, settleReading),
        (sequence, taking) => {
          sequences += 1;
          const model = new Model(kind);
          const real = new Real(kind, taking);
          fc.modelRun(() => ({ model, real }), sequence);
          for (const word of model.told) toldSeen.add(word);
        },
      ),
      { numRuns: 1200 },
    );
    expect(sequences).toBeGreaterThanOrEqual(1200);
    expect(compared).toBeGreaterThan(25_000);
    expect(statesSeen.size).toBe(kind === 'over-pressure' ? 8 : 7);
    expect(toldSeen.size).toBe(kind === 'over-pressure' ? 12 : 11);
  },
);

test('a shelf for longer than the priority allows is refused, whatever the priority', () => {
  for (const [rank, hours] of shelfHours.entries()) {
    const real = new Real('over-pressure', settle);
    real.taken(settle({}, findingOf('over-pressure', 'holds', rank, real.now), null, real.now));
    const state = { ...beginWatch(watched, real.now), board: real.board };
    const shelve = (seconds: number) =>
      act(
        watched,
        state,
        { kind: 'shelve', alarm: real.name, by: 'Maren', note: null, until: real.now + seconds },
        real.now,
      ).ok;
    expect([shelve(0), shelve(1), shelve(hours * hour), shelve(hours * hour + 1)]).toEqual([
      false,
      true,
      true,
      false,
    ]);
  }
});
