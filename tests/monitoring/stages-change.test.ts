/** A stage change sets aside what no longer applies, says so, and lets each stage begin anew. */
import { describe, expect, test } from 'vitest';
import { whyNot } from '../../src/monitoring/applies.ts';
import { type Stage, stages } from '../../src/monitoring/batch.ts';
import { movedOn } from '../../src/monitoring/stages/deed.ts';
import { stagesOfKind } from '../../src/monitoring/stages/stage-kinds.ts';
import { statusOf } from '../../src/monitoring/watch.ts';
import type { Watched } from '../../src/monitoring/watched.ts';
import { stageWords } from '../../src/web/messages.ts';
import {
  batchIn,
  begin,
  call,
  day,
  heardOf,
  hour,
  minute,
  type Played,
  play,
  readings,
  runTo,
  start,
  vesselOf,
} from './stages-run.ts';

const moved = (watched: Watched, stage: Stage, now: number): Watched => ({
  ...watched,
  batch: watched.batch === null ? null : movedOn(watched.batch, stage, now),
});

/** Moves a batch on and gives back what was said of it. */
const moveOn = (played: Played, watched: Watched, stage: Stage, now: number) => {
  const after = moved(watched, stage, now);
  const before = played.told.length;
  const verdict = call(played, after, [], now);
  return { after, verdict, said: played.told.slice(before).map(({ what }) => what) };
};

describe('a stage change', () => {
  const kettle: Watched = { vessel: vesselOf('kettle'), batch: batchIn('boil') };
  const off = (until: number) => readings('temperature', minute, 0, until, () => 75);

  test('suppresses what the next stage does not ask for, and says why', () => {
    const played = play(kettle, off(70 * minute), 70 * minute);
    expect(heardOf(played)).toEqual(['not-boiling raised']);
    const { after, verdict, said } = moveOn(played, kettle, 'cooling', start + 71 * minute);
    expect(said).toEqual(['not-boiling suppressed']);
    expect(verdict.changes[0]?.note).toBe('the batch is at the stage cooling');
    const { alarms, setAside } = statusOf(after, played.state, played.now);
    expect(alarms).toEqual([]);
    expect(setAside.map(({ kind, setAside: why }) => [kind, why?.why])).toEqual([
      ['not-boiling', 'the batch is at the stage cooling'],
    ]);
  });

  test('a stage that is entered again begins anew, and does not bring back what was', () => {
    const played = play(kettle, off(70 * minute), 70 * minute);
    const { after } = moveOn(played, kettle, 'cooling', start + 71 * minute);
    const back = moveOn(played, after, 'boil', start + 80 * minute);
    expect(back.said).toEqual(['not-boiling unsuppressed']);
    expect(statusOf(back.after, played.state, played.now).alarms).toEqual([]);
    // Its hour of heating up begins now.
    runTo(played, back.after, start + 80 * minute + hour - 1);
    expect(heardOf(played).filter((what) => what === 'not-boiling raised')).toHaveLength(1);
    runTo(played, back.after, start + 80 * minute + hour);
    expect(heardOf(played).filter((what) => what === 'not-boiling raised')).toHaveLength(2);
  });

  test('the clock of one step is over when the batch moves to the next, which has its own', () => {
    const mash: Watched = { vessel: vesselOf('mash-tun'), batch: batchIn('mash-rest') };
    const played = play(
      mash,
      readings('temperature', minute, 0, 70 * minute, () => 65),
      70 * minute,
    );
    expect(heardOf(played)).toEqual(['time-reached raised']);
    const { after, said } = moveOn(played, mash, 'boil', start + 70 * minute);
    expect(said).toEqual(['time-reached returned']);
    expect(played.told.at(-1)?.evidence).toMatch(/moved on to the stage boil/);
    const boiling = readings('temperature', minute, 71 * minute, 3 * hour, () => 99.9);
    for (const point of boiling) call(played, after, [point], point.time);
    expect(heardOf(played).slice(2)).toEqual(['time-reached raised']);
    const at = (played.told.at(-1)?.at ?? 0) - start;
    // The boil was reached on the way from 65 °C to 99.9 °C in the minute before its first reading.
    expect(at).toBeGreaterThan(130 * minute);
    expect(at).toBeLessThanOrEqual(132 * minute);
  });

  test('what waits for its delay is forgotten with its stage', () => {
    const mash: Watched = { vessel: vesselOf('mash-tun'), batch: batchIn('mash-rest') };
    const played = begin(mash);
    call(
      played,
      mash,
      [{ channel: 'temperature', time: start + minute, value: 90 }],
      start + minute,
    );
    const { after } = moveOn(played, mash, 'boil', start + 2 * minute);
    runTo(played, after, start + 30 * minute);
    expect(heardOf(played)).toEqual([]);
  });

  test('a passed food-safety limit goes with the batch into its next stage', () => {
    const steep: Watched = {
      vessel: vesselOf('steeping-tank'),
      batch: batchIn('cold-steep', 'infusion'),
    };
    const played = play(
      steep,
      readings('temperature', 15 * minute, 0, 5 * hour, () => 18),
      5 * hour,
    );
    expect(heardOf(played)).toContain('food-safety raised');
    const { after, said } = moveOn(played, steep, 'blending', start + 6 * hour);
    expect(said).toContain('temperature suppressed');
    expect(said).not.toContain('food-safety suppressed');
    runTo(played, after, start + 2 * day);
    expect(statusOf(after, played.state, played.now).alarms.map(({ kind }) => kind)).toContain(
      'food-safety',
    );
  });

  test('setting the same stage again changes nothing', () => {
    const batch = batchIn('boil');
    expect(movedOn(batch, 'boil', start + hour)).toBe(batch);
  });
});

test('every kind of a stage applies in its stages and in no other, and says which stage it is', () => {
  let compared = 0;
  for (const [kind, own] of Object.entries(stagesOfKind)) {
    for (const stage of stages) {
      const watched: Watched = {
        vessel: vesselOf('keg', {
          reliefGaugePressurePascal: 100_000,
          ratedGaugePressurePascal: 120_000,
        }),
        batch: batchIn(stage, stage === 'ageing' ? 'wine' : 'infusion'),
      };
      const reason = whyNot(kind as keyof typeof stagesOfKind, watched);
      if ((own as readonly Stage[]).includes(stage))
        expect([kind, stage, reason]).toEqual([kind, stage, null]);
      else expect(reason).toBe(`the batch is at the stage ${stage}`);
      compared += 1;
    }
  }
  expect(compared).toBe(Object.keys(stagesOfKind).length * stages.length);
  expect(Object.keys(stageWords)).toHaveLength(stages.length);
});
