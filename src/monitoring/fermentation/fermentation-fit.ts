/**
 * The attenuation curve of a batch, fitted from the course of its gravity and refreshed now and then: a fit costs
 * a thousand times what a reading costs, and a fermentation changes over hours. Pure: no I/O, no clock.
 */
import {
  type AttenuationFault,
  type AttenuationFit,
  fitAttenuation,
  gravityAt,
} from '../../science/attenuation-curve.ts';
import type { Batch } from '../batch.ts';
import { handGravitySd } from '../hand-sample.ts';
import type { FermentationMemory, Outlook } from './fermentation-memory.ts';
import type { FermentationSigns } from './fermentation-signs.ts';
import { terminalBelief } from './terminal-belief.ts';

/** Chosen by us: oftener moves a forecast by less than its band. Later, a share of the batch's age will do. */
const refitSeconds = 3 * 3600;
const refitShareOfAge = 0.03;

/** Standard deviation of a brewer's original gravity: half a point of reading, and the mixing of the wort. */
const originalSd = 0.001;

/** Hours ahead for which the outlook is kept. */
const outlookHours = [0, 6, 12, 24, 36, 48, 72, 96, 144, 216] as const;

export const fitIsDue = (memory: FermentationMemory, batch: Batch, now: number): boolean => {
  if (memory.fittedAt === null) return true;
  const pause = Math.max(refitSeconds, refitShareOfAge * (now - batch.startedAt));
  return now - memory.fittedAt >= pause;
};

export const refitted = (
  memory: FermentationMemory,
  batch: Batch,
  signs: FermentationSigns,
  now: number,
): FermentationMemory => {
  const { course } = signs;
  const original = batch.originalGravity;
  const belief = terminalBelief(batch, original === null ? signs.original : (original - 1) * 1000);
  const found = fitAttenuation(
    // Samples go in below, as what owes nothing to a sensor.
    course.by === 'hand'
      ? { timesSeconds: [], gravities: [] }
      : {
          timesSeconds: course.hours.map((hour) => batch.startedAt + hour * 3600),
          gravities: course.points.map((points) => 1 + points / 1000),
        },
    {
      originalGravity: original === null ? null : { value: original, sd: originalSd },
      terminalPrior:
        belief === null ? null : { value: 1 + belief.points / 1000, sd: belief.sd / 1000 },
      pitchedAtSeconds: batch.startedAt,
      handSamples: gravitySamples(batch),
    },
  );
  if (!found.ok) {
    return { ...memory, fit: null, fittedAt: now, fitFault: sentence(found.fault) };
  }
  return { ...memory, fit: shortened(found.value), fittedAt: now, fitFault: null };
};

const gravitySamples = ({ samples = [] }: Batch) =>
  samples.flatMap(({ time, gravity }) =>
    gravity === null ? [] : [{ timeSeconds: time, gravity, sd: handGravitySd }],
  );

/** What a fit foretells from now on. */
export const outlookOf = (fit: AttenuationFit, now: number): Outlook => {
  const here = gravityAt(fit, now).value;
  return {
    at: now,
    hours: outlookHours,
    fallen: outlookHours.map((hours) =>
      Number(((here - gravityAt(fit, now + hours * 3600).value) * 1000).toFixed(2)),
    ),
  };
};

/** Points that an outlook foretold between two moments; null where it does not reach. */
export const foretold = (outlook: Outlook, from: number, to: number): number | null => {
  const at = (time: number): number | null => {
    const hours = (time - outlook.at) / 3600;
    if (hours < 0) return null;
    const next = outlook.hours.findIndex((hour) => hour >= hours);
    const beyond = outlook.fallen[next];
    if (beyond === undefined) return outlook.fallen.at(-1) ?? null;
    const before = outlook.fallen[next - 1];
    if (before === undefined) return beyond;
    const left = outlook.hours[next - 1] ?? 0;
    const right = outlook.hours[next] ?? 0;
    return before + ((hours - left) / (right - left)) * (beyond - before);
  };
  const first = at(from);
  const last = at(to);
  return first === null || last === null ? null : last - first;
};

const sentence = (fault: AttenuationFault): string => {
  switch (fault.kind) {
    case 'lengths-differ':
    case 'outside-range':
      return 'The readings or the batch hold a gravity outside what the curve is made for.';
    case 'not-yet':
      switch (fault.reason) {
        case 'too-few-readings':
          return `Too few readings for a curve: ${fault.seen} of ${fault.needed}.`;
        case 'no-fall-seen':
          return 'Gravity has not fallen enough for a curve.';
        case 'terminal-unknown':
          return 'The readings do not yet tell where gravity will end.';
        case 'no-fit':
          return 'No curve follows the readings.';
      }
  }
};

/** Eight digits are more than the readings know, and keep the state small. */
const shortened = (fit: AttenuationFit): AttenuationFit => {
  const short = (values: readonly number[]): readonly number[] =>
    values.map((value) => Number(value.toPrecision(8)));
  return {
    ...fit,
    models: fit.models.map((model) => ({
      ...model,
      covariance: model.covariance.map((value) => Number(value.toPrecision(6))),
      nodes: model.nodes.map((node) => ({ ...node, parameters: short(node.parameters) })),
    })),
  };
};
