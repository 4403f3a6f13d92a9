/**
 * The watch over a fermentation: takes the chronicle each time a bucket closes, and says whether it waits, works,
 * has stalled or has finished. Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import type { Chronicle } from '../course/chronicle.ts';
import type { Finding } from '../finding.ts';
import type { Happening } from '../watched.ts';
import { gravity, points } from '../words/spoken.ts';
import { fitIsDue, outlookOf, refitted } from './fermentation-fit.ts';
import type { FermentationMemory } from './fermentation-memory.ts';
import { phaseOf, stillHours } from './fermentation-phase.ts';
import { fermentationSigns } from './fermentation-signs.ts';
import { judgeStall } from './judge-stall.ts';
import { sampleMark } from './sample-mark.ts';
import { sampledError } from './sampled-error.ts';
import { judgeSluggish } from './sluggish.ts';
import { pace } from './stall.ts';

export type FermentationStep = {
  readonly memory: FermentationMemory;
  readonly findings: readonly Finding[];
  readonly happenings: readonly Happening[];
};

export const fermentationStep = (
  batch: Batch,
  { rows }: Chronicle,
  before: FermentationMemory,
  now: number,
): FermentationStep => {
  const { signs, memory: seen } = fermentationSigns(batch, rows, before);
  if (signs === null) {
    return { memory: { ...seen, sampled: sampleMark(batch) }, findings: [], happenings: [] };
  }
  const judged = pace(signs);
  const phase = phaseOf(before, signs, judged);
  const happenings: Happening[] = [];
  if (phase !== before.phase) {
    if (phase === 'finished') {
      happenings.push({
        kind: 'fermentation-finished',
        at: now,
        words: `Gravity has been still for ${stillHours} h at ${gravity(1 + (signs.level - signs.offset) / 1000)}, after a fall of ${points(signs.fallen / 1000)}.`,
      });
    } else if (phase === 'active' && before.phase !== 'waiting') {
      happenings.push({
        kind: 'fermentation-restarted',
        at: now,
        words: `Gravity falls again: ${points(((before.restedAt ?? signs.level) - signs.level) / 1000)} below where it had ${before.phase === 'stalled' ? 'stalled' : 'come to rest'}.`,
      });
    }
  }
  const rested = phase === 'stalled' || phase === 'finished';
  const sampled = sampleMark(batch);
  let memory: FermentationMemory = {
    ...seen,
    sampled,
    phase,
    restedAt: rested ? (before.restedAt ?? signs.level) : null,
  };
  // A hand sample that no fit has seen wants one at once.
  const freshSample = sampled !== (before.sampled ?? null);
  if ((freshSample || fitIsDue(memory, batch, now)) && !signs.course.unsettled) {
    memory = refitted(memory, batch, signs, now);
    if (memory.fit !== null && judged?.verdict === 'moving') {
      memory = { ...memory, outlook: outlookOf(memory.fit, now) };
    }
  }
  // Only what was measured by hand corrects the sensor: samples, else the original gravity against the first
  // readings. The curve alone would call a stalled batch's sensor wrong.
  const error =
    signs.course.by === 'hand' ? 0 : (sampledError(batch, signs.course) ?? signs.offset);
  const present = Number((1 + (signs.level - error) / 1000).toFixed(5));
  memory = {
    ...memory,
    present: { at: now, gravity: present, sensorError: Number(error.toFixed(2)) },
  };
  const findings: Finding[] = [];
  if (judged !== null) {
    findings.push(judgeStall(batch, signs, judged, phase, memory.outlook, now));
  }
  const sluggish = judgeSluggish(batch, signs, phase, now);
  if (sluggish !== null) findings.push(sluggish);
  return { memory, findings, happenings };
};
