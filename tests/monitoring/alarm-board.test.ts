/**
 * What the board adds to the machine, one thing at a time: deadband and delays (ISA-18.2 and OPC 10000-9, annex B.1.5,
 * seen), latching (OPC 10000-9, 3.1 and 5.8.5, seen), chatter, worsening, and the words of an alarm.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AlarmKind, alarmKinds, type Priority } from '../../src/monitoring/alarms/alarm.ts';
import {
  type Board,
  ended,
  send,
  settle,
  settleReading,
} from '../../src/monitoring/alarms/alarm-board.ts';
import { boardDue, lapse } from '../../src/monitoring/alarms/alarm-lapse.ts';
import { alarmText, newsText, plainText } from '../../src/monitoring/alarms/alarm-text.ts';
import { latches } from '../../src/monitoring/alarms/latching.ts';
import type { Finding } from '../../src/monitoring/finding.ts';
import { resumeWatch, type WatchState } from '../../src/monitoring/watch.ts';
import type { Watched } from '../../src/monitoring/watched.ts';

const onDelay = 600;
const offDelay = 300;

const finding = (
  condition: Finding['condition'],
  at: number,
  change: { readonly kind?: AlarmKind; readonly priority?: Priority } = {},
): Finding => ({
  kind: change.kind ?? 'temperature',
  channel: null,
  condition,
  at,
  priority: change.priority ?? 'medium',
  onDelaySeconds: onDelay,
  offDelaySeconds: offDelay,
  words: () => ({
    evidence: `${condition} at ${at}`,
    likelyCauses: ['the pump has stopped'],
    checkFirst: ['look at the pump', 'look at the valve'],
    caution: 'steam scalds',
  }),
});

type Told = readonly [at: number, transition: string, state: string];

/** Feeds findings every minute; says what was told. */
const minutes = (
  conditions: readonly Finding['condition'][],
  kind: AlarmKind = 'temperature',
  taking: typeof settle = settleReading,
) => {
  let board: Board = {};
  const told: Told[] = [];
  for (const [minute, condition] of conditions.entries()) {
    const now = minute * 60;
    const heard = taking(board, finding(condition, now, { kind }), null, now);
    const lapsed = lapse(heard.board, now);
    board = lapsed.board;
    for (const { transition, alarm } of [...heard.changes, ...lapsed.changes])
      told.push([minute, transition, alarm.state]);
  }
  return { board, told };
};

const spell = (length: number, condition: Finding['condition']): Finding['condition'][] =>
  Array.from({ length }, () => condition);

describe.each([
  ['judged reading by reading', settleReading],
  ['judged for the present', settle],
] as const)('a condition %s', (_, taking) => {
  const run = (...parts: readonly Finding['condition'][][]) =>
    minutes(parts.flat(), 'temperature', taking).told;

  it('must hold for the on-delay, and be clear for the off-delay', () => {
    expect(run(spell(10, 'holds'), spell(20, 'clear'))).toEqual([]);
    expect(run(spell(11, 'holds'), spell(5, 'clear'), spell(20, 'holds'))).toEqual([
      [10, 'raised', 'unacknowledged'],
    ]);
    expect(run(spell(11, 'holds'), spell(6, 'clear'))).toEqual([
      [10, 'raised', 'unacknowledged'],
      [16, 'returned', 'returned-unacknowledged'],
    ]);
  });

  it('is neither raised nor returned by what lies in its deadband', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 200 }), (length) => {
        expect(run(spell(length, 'between'))).toEqual([]);
        expect(run(spell(11, 'holds'), spell(length, 'between'))).toHaveLength(1);
        // What interrupts a run begins it anew.
        expect(run(spell(9, 'holds'), spell(1, 'between'), spell(9, 'holds'))).toEqual([]);
      }),
    );
  });
});

describe('a late reading', () => {
  const told = (...readings: readonly (readonly [Finding['condition'], number])[]) => {
    let board: Board = {};
    const seen: string[] = [];
    const now = 800;
    for (const [condition, at] of readings) {
      const step = settleReading(board, finding(condition, at), null, now);
      board = step.board;
      seen.push(...step.changes.map(({ transition }) => transition));
    }
    return seen;
  };

  it('takes its place: it breaks a run, lengthens one, and takes back what it shows to be wrong', () => {
    expect(told(['holds', 100], ['holds', 710])).toEqual(['raised']);
    expect(told(['holds', 100], ['clear', 400], ['holds', 710])).toEqual([]);
    expect(told(['holds', 100], ['holds', 650], ['clear', 400], ['holds', 710])).toEqual([]);
    expect(told(['holds', 710], ['holds', 100])).toEqual(['raised']);
    expect(told(['holds', 100], ['holds', 710], ['clear', 400])).toEqual(['raised', 'returned']);
    expect(told(['holds', 100], ['holds', 710], ['clear', 400], ['holds', 400])).toEqual([
      'raised',
      'returned',
      'raised',
    ]);
  });

  it('that is older than the window is left aside', () => {
    const board = settleReading({}, finding('holds', 10_000), null, 10_000).board;
    expect(settleReading(board, finding('holds', 9099), null, 10_000).board).toBe(board);
    expect(settleReading(board, finding('holds', 9100), null, 10_000).board).not.toBe(board);
  });

  it('is waited for by the clock, but not where a person is to act at once', () => {
    const due = (priority: Priority) =>
      boardDue(settleReading({}, finding('holds', 0, { priority }), null, 0).board);
    expect([due('low'), due('medium'), due('high')]).toEqual([1500, 1500, 600]);
  });
});

describe('a latching alarm', () => {
  it('is one where a person could be hurt, and no other', () => {
    const danger: readonly AlarmKind[] = [
      'over-pressure',
      'blocked-vent',
      'food-safety',
      'air-danger',
      'air-short-term',
      'low-oxygen',
    ];
    expect(alarmKinds.filter(latches).toSorted()).toEqual(danger.toSorted());
  });

  it('stays after its condition, is not reset before it is over and acknowledged, and is raised again from there', () => {
    let { board, told } = minutes(spell(11, 'holds'), 'over-pressure');
    const does = (event: Parameters<typeof send>[2]): string | null => {
      const step = send(
        board,
        'over-pressure',
        event,
        { at: 900, by: 'Maren', note: null },
        (a) => a,
      );
      board = step?.board ?? board;
      return step?.changes[0]?.alarm.state ?? null;
    };
    expect(told).toEqual([[10, 'raised', 'unacknowledged']]);
    expect(does('reset')).toBeNull();
    for (const at of [700, 1000])
      board = settleReading(board, finding('clear', at, { kind: 'over-pressure' }), null, at).board;
    expect(board['over-pressure']?.alarm.state).toBe('latched-unacknowledged');
    expect(does('reset')).toBeNull();
    expect(does('acknowledge')).toBe('latched-acknowledged');
    for (const at of [1100, 1700])
      board = settleReading(board, finding('holds', at, { kind: 'over-pressure' }), null, at).board;
    expect(board['over-pressure']?.alarm).toMatchObject({ state: 'unacknowledged', occurrence: 2 });
    board = ended(board, 'over-pressure', 'the keg has left', 1800).board;
    expect(does('acknowledge')).toBe('latched-acknowledged');
    expect(does('reset')).toBe('normal');
  });

  it('stays latched through a shelf and through being out of service', () => {
    for (const [out, back] of [
      ['shelve', 'unshelve'],
      ['remove-from-service', 'return-to-service'],
      ['suppress', 'unsuppress'],
    ] as const) {
      let { board } = minutes(spell(11, 'holds'), 'over-pressure');
      const does = (event: Parameters<typeof send>[2]) => {
        board =
          send(board, 'over-pressure', event, { at: 900, by: null, note: null }, (a) => a)?.board ??
          board;
      };
      does(out);
      for (const at of [700, 1000])
        board = settleReading(
          board,
          finding('clear', at, { kind: 'over-pressure' }),
          null,
          at,
        ).board;
      does(back);
      expect(board['over-pressure']?.alarm.state).toBe('latched-unacknowledged');
    }
  });
});

describe('a chattering alarm', () => {
  const cycle = [...spell(20, 'holds'), ...spell(20, 'clear')];

  it('is marked with its third onset within four hours, held, and let go when it has been clear for two', () => {
    const { board, told } = minutes([
      ...cycle,
      ...cycle,
      ...cycle,
      ...cycle,
      ...cycle,
      ...spell(101, 'clear'),
    ]);
    expect(told.map(([, transition]) => transition)).toEqual([
      'raised',
      'returned',
      'raised',
      'returned',
      'raised',
      'returned',
    ]);
    // Clear from minute 180 on: two hours later it returns.
    expect(told.at(-1)?.[0]).toBe(300);
    expect(board.temperature).toMatchObject({ onsets: [], alarm: { chattering: false } });
  });

  it('is not one that comes three times within a day', () => {
    const slow = [...spell(20, 'holds'), ...spell(120, 'clear')];
    const { board, told } = minutes([...slow, ...slow, ...slow, ...slow]);
    expect(told.filter(([, transition]) => transition === 'raised')).toHaveLength(4);
    expect(board.temperature?.alarm.chattering).toBe(false);
  });
});

describe('while a condition goes on', () => {
  const raised = (): Board => minutes(spell(11, 'holds'), 'temperature', settle).board;

  it('what is seen is told anew every half hour, and what was seen at first stays', () => {
    let board = raised();
    for (let at = 660; at <= 4300; at += 60)
      board = settle(board, finding('holds', at), null, at).board;
    expect(board.temperature?.alarm).toMatchObject({
      evidence: 'holds at 600',
      latest: { at: 4200, evidence: 'holds at 4200' },
    });
  });

  it('a higher priority calls again, also where it was acknowledged, and a lower one does not', () => {
    const known = send(
      raised(),
      'temperature',
      'acknowledge',
      { at: 700, by: 'Maren', note: null },
      (alarm) => ({ ...alarm, reAlarmAt: 90_000 }),
    );
    for (const board of [raised(), known?.board ?? {}]) {
      const worse = settle(board, finding('holds', 800, { priority: 'high' }), null, 800);
      expect(worse.changes).toMatchObject([
        {
          transition: 'worsened',
          by: null,
          alarm: { state: 'unacknowledged', priority: 'high', occurrence: 1, reAlarmAt: null },
        },
      ]);
      const milder = settle(worse.board, finding('holds', 900, { priority: 'low' }), null, 900);
      expect(milder.changes).toEqual([]);
      expect(milder.board.temperature?.alarm.priority).toBe('high');
    }
  });
});

describe('an alarm in words', () => {
  const change = settle(
    settle({}, finding('holds', 0), 'gale-41', 0).board,
    finding('holds', 600),
    'gale-41',
    600,
  ).changes[0];
  if (change === undefined) throw new Error('nothing was raised');

  it('is one text with all that a person needs', () => {
    expect(plainText(newsText('North fermenter', change)).split('\n')).toEqual([
      'North fermenter: Temperature out of its band, raised. Medium: see to it today.',
      'Seen: Holds at 600.',
      'Caution: Steam scalds.',
      'Check first: 1. Look at the pump; 2. Look at the valve',
      'Likely causes: The pump has stopped',
      expect.stringMatching(/^What this rests on: .*no formula\.$/),
    ]);
  });

  it('tells of what a person did who it was and what they wrote', () => {
    const done = { ...change, transition: 'acknowledged', by: 'Maren', note: 'on my way' } as const;
    const alarm = { ...change.alarm, state: 'acknowledged' } as const;
    expect(plainText(newsText('North fermenter', { ...done, alarm }))).toBe(
      'North fermenter: Temperature out of its band, acknowledged by Maren.\nNote: On my way.',
    );
  });

  it('says its caution before a note, however long, since a small screen cuts off what comes last', () => {
    const again = { ...change, transition: 're-alarmed', note: 'x'.repeat(500) } as const;
    const headings = newsText('North fermenter', again).lines.map(({ heading }) => heading);
    expect(headings).toContain('Note');
    expect(headings.indexOf('Caution')).toBeGreaterThan(-1);
    expect(headings.indexOf('Caution')).toBeLessThan(headings.indexOf('Note'));
  });

  it('names what its judgement rests on, by its finding or by its kind', () => {
    expect(alarmText({ ...change.alarm, source: 'Handbook, 3rd edition' }).basis).toBe(
      'Handbook, 3rd edition',
    );
    for (const kind of ['stall', 'over-pressure-ahead', 'refermentation', 'leak'] as const)
      expect(alarmText({ ...change.alarm, kind }).basis).toMatch(/Tukey|Carroll/);
  });
});

describe('a state kept by an older Gyleward', () => {
  const watched = { vessel: { kind: 'keg' }, batch: null } as unknown as Watched;
  const board = minutes(spell(11, 'holds'), 'over-pressure').board;

  it('keeps its alarms, and begins afresh with all the rest', () => {
    const begun = resumeWatch(undefined, watched, 0);
    const older = { ...begun, version: 0, batch: 'gale-41', board, pressure: { at: 1 } } as unknown;
    const resumed = resumeWatch(older as WatchState, watched, 0);
    expect(resumed.board).toEqual(board);
    expect(resumed.batch).toBe('gale-41');
    expect({ ...resumed, batch: null, board: {} }).toEqual({ ...begun, batch: null, board: {} });
  });

  it('is read although it lacks what came later, and a latching alarm in it latches', () => {
    const kept = JSON.parse(JSON.stringify(board));
    const entry = kept['over-pressure'];
    for (const field of ['latched', 'course', 'turnsTold', 'clockedAt', 'onsets'])
      delete entry[field];
    for (const field of ['reAlarmAt', 'setAside', 'chattering', 'latest', 'source'])
      delete entry.alarm[field];
    const begun = resumeWatch(undefined, watched, 0);
    const resumed = resumeWatch({ ...begun, board: kept }, watched, 0).board;
    expect(resumed['over-pressure']).toMatchObject({ latched: true, alarm: { setAside: null } });
    let after: Board = resumed;
    for (const at of [700, 1100])
      after = settleReading(after, finding('clear', at, { kind: 'over-pressure' }), null, at).board;
    expect(after['over-pressure']?.alarm.state).toBe('latched-unacknowledged');
  });
});
