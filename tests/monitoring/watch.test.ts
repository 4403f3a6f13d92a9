/** The watch as storage uses it: raised once and returned, the clock alone, people's acts, a cellar that changes. */
import { describe, expect, it } from 'vitest';
import type { Batch } from '../../src/monitoring/batch.ts';
import {
  type Act,
  act,
  beginWatch,
  judge,
  nextDue,
  statusOf,
  type WatchState,
} from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';

const batch: Batch = {
  batch: 'gale-41',
  title: 'Gale ale 41',
  drink: 'ale',
  stage: 'fermentation',
  startedAt: 0,
  endedAt: null,
  originalGravity: 1.05,
  expectedTerminalGravity: 1.011,
  attenuationLimit: null,
  temperatureBand: null,
  carbonationVolumes: null,
};

const tank: Watched = {
  vessel: {
    vessel: 'tank-2',
    title: 'Tank 2',
    kind: 'fermenter',
    volumeLitre: 600,
    headspaceLitre: 100,
    ratedGaugePressurePascal: 100_000,
    reliefGaugePressurePascal: null,
    gasConnected: false,
    temperatureBand: { lowCelsius: 17, highCelsius: 21 },
  },
  batch,
};

const point = (channel: Point['channel'], time: number, value: number): Point => ({
  channel,
  time,
  value,
});

/** Lets the clock close what waits for late readings; says nothing to anybody. */
const calmed = (before: WatchState, now: number): WatchState => {
  let state = before;
  while (state.chronicle.open.length > 0) {
    const due = nextDue(tank, state, now) ?? now;
    const verdict = judge(tank, state, [], due);
    expect(verdict.changes).toEqual([]);
    state = verdict.state;
  }
  return state;
};

/** A tank that has stood too warm for an hour. */
const warm = (): WatchState => {
  let state = beginWatch(tank, 0);
  for (let now = 0; now <= 3600; now += 900) {
    state = judge(tank, state, [point('temperature', now, 24)], now).state;
  }
  return state;
};

const done = (state: WatchState, deed: Act, now: number) => {
  const result = act(tank, state, deed, now);
  if (!result.ok) throw new Error(`refused: ${JSON.stringify(result.fault)}`);
  return result.value;
};

const alarm = 'temperature:temperature';

describe('watch', () => {
  it('raises a temperature alarm once after its delay and returns it past the deadband', () => {
    let state = beginWatch(tank, 0);
    const seen: string[] = [];
    const temperatures = [19, 22, 22, 22, 22, 20.8, 20.8, 20, 20, 20];
    for (const [index, value] of temperatures.entries()) {
      const now = index * 900;
      const verdict = judge(tank, state, [point('temperature', now, value)], now);
      state = verdict.state;
      seen.push(...verdict.changes.map((change) => `${change.transition}@${index}`));
    }
    expect(seen).toEqual(['raised@3', 'returned@8']);
    expect(statusOf(tank, state, 9000).alarms.map(({ state: at }) => at)).toEqual([
      'returned-unacknowledged',
    ]);
    const acknowledged = done(state, { kind: 'acknowledge', alarm, by: 'ana', note: null }, 9000);
    expect(acknowledged.changes[0]?.alarm.state).toBe('normal');
    expect(acknowledged.changes[0]?.alarm.evidence).toMatch(
      /above the band of 17 °C to 21 °C.*Returned: /,
    );
  });

  it('wakes for silence alone, and takes channels of one device for one alarm', () => {
    let state = beginWatch(tank, 0);
    for (let now = 0; now <= 9000; now += 900) {
      state = judge(
        tank,
        state,
        [point('gravity', now, 1.05), point('temperature', now, 19)],
        now,
      ).state;
    }
    state = calmed(state, 9000);
    const due = nextDue(tank, state, 9000);
    expect(due).toBe(9000 + 5 * 3600);
    const verdict = judge(tank, state, [], 9000 + 5 * 3600);
    expect(verdict.changes).toHaveLength(1);
    expect(verdict.changes[0]?.alarm.evidence).toMatch(/no temperature or gravity reading/);
    expect(verdict.changes[0]?.alarm.priority).toBe('low');
    expect(nextDue(tank, verdict.state, 30_000)).toBeNull();
    const back = judge(
      tank,
      verdict.state,
      [point('gravity', 40_000, 1.05), point('temperature', 40_000, 19)],
      40_000,
    );
    expect(back.changes.map(({ transition }) => transition)).toEqual(['returned']);
  });

  it('speaks sooner and louder where the silent channel guards people', () => {
    let state = beginWatch(tank, 0);
    for (let now = 0; now <= 9000; now += 900) {
      state = judge(tank, state, [point('gauge-pressure', now, 20_000)], now).state;
    }
    state = calmed(state, 9000);
    const due = nextDue(tank, state, 9000);
    expect(due).toBe(9000 + 3 * 3600);
    const { changes } = judge(tank, state, [], due ?? 0);
    expect(changes[0]?.alarm.priority).toBe('medium');
    expect(changes[0]?.alarm.caution).toMatch(/relief device/);
  });

  it('wakes to judge what a reading a day has told, though the next one is a day away', () => {
    let state = beginWatch(tank, 0);
    for (let day = 0; day < 4; day += 1) {
      state = judge(tank, state, [point('gravity', day * 86_400, 1.05)], day * 86_400).state;
    }
    const due = nextDue(tank, state, 3 * 86_400);
    // The bucket of half an hour ends, and a late reading is waited for.
    expect(due).toBe(3 * 86_400 + 1800 + 900);
    const rows = state.chronicle.rows.length;
    expect(judge(tank, state, [], due ?? 0).state.chronicle.rows).toHaveLength(rows + 1);
  });

  it('raises by the clock what waits for its delay when no reading contradicts', () => {
    let state = beginWatch(tank, 0);
    state = judge(tank, state, [point('temperature', 0, 24)], 0).state;
    const due = nextDue(tank, state, 0);
    // Half an hour of delay, and as long as a reading may be under way.
    expect(due).toBe(1800 + 900);
    const { changes } = judge(tank, state, [], due ?? 0);
    expect(changes.map(({ transition }) => transition)).toEqual(['raised']);
  });

  it('brings a shelved alarm back by itself when its time is over', () => {
    const shelved = done(
      warm(),
      { kind: 'shelve', alarm, by: 'ana', until: 20_000, note: 'probe is out' },
      4000,
    );
    expect(statusOf(tank, shelved.state, 4000).alarms).toEqual([]);
    const quiet = calmed(shelved.state, 4000);
    expect(nextDue(tank, quiet, 4000)).toBe(20_000);
    const { changes } = judge(tank, quiet, [], 20_000);
    expect(changes.map(({ transition, alarm: { state } }) => `${transition} ${state}`)).toContain(
      'unshelved unacknowledged',
    );
  });

  it('refuses acts that are not possible, with what stands against them', () => {
    const state = warm();
    expect(
      act(tank, state, { kind: 'acknowledge', alarm: 'stall', by: 'ana', note: null }, 4000),
    ).toEqual({
      ok: false,
      fault: { kind: 'no-such-alarm', alarm: 'stall' },
    });
    const past = act(
      tank,
      state,
      { kind: 'shelve', alarm, by: 'ana', until: 3999, note: null },
      4000,
    );
    expect(past.ok).toBe(false);
    const forEver = act(
      tank,
      state,
      { kind: 'shelve', alarm, by: 'ana', until: 9e9, note: null },
      4000,
    );
    expect(forEver.ok).toBe(false);
    const unshelve = act(tank, state, { kind: 'unshelve', alarm, by: 'ana' }, 4000);
    expect(unshelve).toEqual({
      ok: false,
      fault: { kind: 'not-possible', alarm, state: 'unacknowledged', act: 'unshelve' },
    });
  });

  it('takes an alarm out of service with a reason, follows it there, and gives it back', () => {
    const out = done(
      warm(),
      { kind: 'remove-from-service', alarm, by: 'ana', note: 'cooling is being rebuilt' },
      4000,
    );
    expect(out.changes[0]?.alarm.setAside?.why).toBe('cooling is being rebuilt');
    let state = out.state;
    for (let now = 4500; now <= 8100; now += 900) {
      const verdict = judge(tank, state, [point('temperature', now, 19)], now);
      expect(verdict.changes).toEqual([]);
      state = verdict.state;
    }
    const back = done(state, { kind: 'return-to-service', alarm, by: 'ana' }, 9000);
    expect(back.changes[0]?.alarm.state).toBe('normal');
  });

  it('suppresses what a stage does not ask for, says why, and brings it back', () => {
    let state = beginWatch(tank, 0);
    state = { ...state, board: warm().board };
    const bare = { ...tank.vessel, temperatureBand: null };
    const boiling: Watched = { vessel: bare, batch: { ...batch, stage: 'boil' } };
    const hidden = judge(boiling, state, [], 5000);
    expect(hidden.changes.map(({ transition }) => transition)).toEqual(['suppressed']);
    expect(hidden.changes[0]?.note).toMatch(/neither the batch nor the vessel names/);
    const shown = judge(tank, hidden.state, [], 6000);
    expect(shown.changes.map(({ transition }) => transition)).toEqual(['unsuppressed']);
  });

  it('returns the alarms of a batch that has left, keeps them to be acknowledged, and begins afresh', () => {
    const gone = judge({ ...tank, batch: null }, warm(), [], 5000);
    expect(gone.changes.map(({ transition }) => transition)).toEqual(['returned']);
    expect(gone.changes[0]?.alarm.evidence).toMatch(/batch gale-41 has left the vessel/);
    const next: Watched = { ...tank, batch: { ...batch, batch: 'gale-42', startedAt: 6000 } };
    const fresh = judge(next, gone.state, [point('temperature', 6000, 24)], 6000);
    expect(fresh.changes).toEqual([]);
    const later = judge(next, fresh.state, [point('temperature', 7800, 24)], 7800);
    expect(later.changes[0]?.alarm.occurrence).toBe(2);
    expect(later.changes[0]?.alarm.batch).toBe('gale-42');
  });

  it('is silent about a sensor that lay in a drawer between two batches', () => {
    let state = beginWatch(tank, 0);
    for (let now = 0; now <= 9000; now += 900) {
      state = judge(tank, state, [point('gravity', now, 1.05)], now).state;
    }
    state = judge({ ...tank, batch: null }, state, [], 10_000).state;
    const weekLater = 700_000;
    const next: Watched = { ...tank, batch: { ...batch, batch: 'gale-42', startedAt: weekLater } };
    expect(judge(next, state, [], weekLater).changes).toEqual([]);
    expect(nextDue(next, judge(next, state, [], weekLater).state, weekLater)).toBeNull();
  });
});
