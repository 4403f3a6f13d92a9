/** A watch that recalls stored readings: as if it had heard them, in silence, with its alarms as people know them. */
import { describe, expect, it } from 'vitest';
import type { Batch } from '../../src/monitoring/batch.ts';
import type { Vessel } from '../../src/monitoring/vessel.ts';
import {
  beginRecall,
  beginWatch,
  judge,
  recalledTogetherSeconds,
  recallOn,
  type WatchState,
  withRecalled,
} from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';

const start = 1_900_000_800;
const day = 86_400;

const vessel: Vessel = {
  vessel: 'fermenter-1',
  title: 'Long Meg',
  kind: 'fermenter',
  volumeLitre: 1200,
  headspaceLitre: 200,
  ratedGaugePressurePascal: 100_000,
  reliefGaugePressurePascal: null,
  gasConnected: false,
  temperatureBand: null,
};

const batch: Batch = {
  batch: 'haymaker-12',
  title: 'Haymaker ale',
  drink: 'ale',
  stage: 'fermentation',
  startedAt: start,
  endedAt: null,
  originalGravity: 1.052,
  expectedTerminalGravity: 1.011,
  attenuationLimit: null,
  temperatureBand: { lowCelsius: 17, highCelsius: 22 },
  carbonationVolumes: null,
};

const points = (days: number): readonly Point[] =>
  Array.from({ length: days * 48 }, (_, index) => {
    const time = start + 1800 * index;
    const gravity = Number((1.011 + 0.041 / (1 + Math.exp((index / 48 - 2.5) * 2))).toFixed(5));
    return [
      { channel: 'gravity', time, value: gravity },
      { channel: 'temperature', time, value: 27 },
    ] as const satisfies readonly Point[];
  }).flat();

const recall = (watched: Watched, all: readonly Point[], days: number): WatchState => {
  let state = beginRecall(watched, start);
  for (let from = start - 1; from < start + days * day; from += recalledTogetherSeconds) {
    const upTo = from + recalledTogetherSeconds;
    state = recallOn(
      watched,
      state,
      all.filter(({ time }) => time > from && time <= upTo),
      upTo,
    );
  }
  return state;
};

describe('what is recalled', () => {
  const watched: Watched = { vessel, batch };
  const all = points(8);
  const recalled = recall(watched, all, 8);

  it('is what detectors remember of the same readings heard live', () => {
    let live = beginWatch(watched, start);
    for (let at = 0; at < all.length; at += 24) {
      const pack = all.slice(at, at + 24);
      live = judge(watched, live, pack, pack.at(-1)?.time ?? start).state;
    }
    expect(live.fermentation.phase).toBe('finished');
    expect(recalled.fermentation.phase).toBe('finished');
    expect(recalled.chronicle.rows.length).toBeGreaterThan(100);
    expect(recalled.channels.gravity).toMatchObject({
      count: 384,
      value: live.channels.gravity?.value,
    });
    expect(recalled.outOfBandSince).toBe(start);
  });

  it('leaves alarms and the rhythm of arrival as they were', () => {
    const before = beginWatch(watched, start);
    const heard = judge(
      watched,
      before,
      [{ channel: 'gravity', time: start, value: 1.05 }],
      start + 5,
    ).state;
    const after = withRecalled(heard, recalled);
    expect(Object.keys(recalled.board).length).toBeGreaterThan(0);
    expect(after.board).toEqual(heard.board);
    expect(after.channels.gravity).toMatchObject({ arrivedAt: start + 5, arrivalGaps: [] });
    expect(after.channels.temperature).toMatchObject({
      arrivedAt: all.at(-1)?.time,
      arrivalGaps: [],
    });
    expect(after.fermentation).toEqual(recalled.fermentation);
  });

  it('says nothing of it afterwards, but speaks up of what still holds', () => {
    const after = withRecalled(beginWatch(watched, start), recalled);
    const quiet = judge(watched, after, [], start + 8 * day);
    expect([...quiet.changes, ...quiet.happenings]).toEqual([]);
    let state = quiet.state;
    const raised: string[] = [];
    for (let minute = 0; minute <= 240; minute += 15) {
      const now = start + 8 * day + 60 * minute;
      const verdict = judge(
        watched,
        state,
        [{ channel: 'temperature', time: now, value: 27 }],
        now,
      );
      state = verdict.state;
      raised.push(...verdict.changes.map(({ alarm }) => alarm.kind));
    }
    expect(raised).toEqual(['temperature']);
  });
});

it('replays what came before the present stage in the stage in which the vessel begins', () => {
  const crashed: Watched = {
    vessel,
    batch: { ...batch, stage: 'conditioning', stageStartedAt: start + 7.75 * day },
  };
  const state = recall(crashed, points(8), 8);
  expect(state.stage).toBe('conditioning');
  expect(state.stages.since).toBe(start + 7.75 * day);
  expect(state.fermentation.phase).toBe('finished');
});

it('does not know samples and deeds before they were made', () => {
  const sampled: Watched = {
    vessel,
    batch: {
      ...batch,
      samples: [
        {
          time: start + 6 * day,
          gravity: 1.02,
          readingGravity: 1.02,
          sampleTemperatureCelsius: 20,
          ph: null,
          by: 'Wren',
          note: null,
        },
      ],
    },
  };
  const early = points(3);
  expect(recall(sampled, early, 3)).toEqual(recall({ vessel, batch }, early, 3));
});
