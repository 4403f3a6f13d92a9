/** What is answered of a vessel: its description, its view, its chart. Pure data. */

import * as z from 'zod';
import { stages } from '../../../monitoring/batch.ts';
import type { LimitInForce } from '../../../monitoring/stages/limits.ts';
import {
  type AnyLimitName,
  type LimitTemplate,
  stageTemplates,
} from '../../../monitoring/stages/stage-templates.ts';
import type { StageClock } from '../../../monitoring/stages/stage-view.ts';
import type {
  FermentationStatus,
  LatestReading,
  PressureStatus,
  Status,
} from '../../../monitoring/status.ts';
import { type TemperatureBand, type Vessel, vesselKinds } from '../../../monitoring/vessel.ts';
import type { Estimate } from '../../../science/estimate.ts';
import { channelNames } from '../../../science/units/channel.ts';
import type { VesselView } from '../../../storage/vessel-object.ts';
import type { ChartData, ChartSeries } from '../../chart-data.ts';
import { answerNamed } from '../schema-book.ts';
import { alarm, alarmChange, happening, markKind } from './alarm-answers.ts';
import { batch } from './batch-answers.ts';

const maybe = z.number().nullable();

const temperatureBand = answerNamed<TemperatureBand>()(
  'TemperatureBand',
  z.strictObject({ lowCelsius: z.number(), highCelsius: z.number() }),
);

export const vessel = answerNamed<Vessel>()(
  'Vessel',
  z.strictObject({
    vessel: z.string(),
    title: z.string(),
    kind: z.enum(vesselKinds),
    volumeLitre: z.number(),
    headspaceLitre: z.number(),
    ratedGaugePressurePascal: maybe,
    reliefGaugePressurePascal: maybe,
    gasConnected: z.boolean(),
    temperatureBand: temperatureBand.nullable(),
  }),
);

const estimate = answerNamed<Estimate>()(
  'Estimate',
  z.strictObject({ value: z.number(), low: z.number(), high: z.number() }),
);

const latestReading = answerNamed<LatestReading>()(
  'LatestReading',
  z.strictObject({
    value: z.number(),
    unit: z.string(),
    time: z.number(),
    ageSeconds: z.number(),
  }),
);

const fermentation = answerNamed<FermentationStatus>()(
  'FermentationStatus',
  z.strictObject({
    phase: z.enum(['waiting', 'active', 'finished', 'stalled']),
    presentGravity: maybe,
    presentExtractPlato: maybe,
    apparentAttenuation: maybe,
    realAttenuation: maybe,
    alcoholByVolumePercent: maybe,
    terminalGravity: estimate.nullable(),
    finishAt: estimate.nullable(),
    basis: z.string(),
  }),
);

const pressure = answerNamed<PressureStatus>()(
  'PressureStatus',
  z.strictObject({
    gaugePressurePascal: maybe,
    equilibriumGaugePressurePascal: maybe,
    carbonationVolumes: maybe,
    shareOfRating: maybe,
    crossingAt: estimate.nullable(),
    basis: z.string(),
  }),
);

const stageClock = answerNamed<StageClock>()(
  'StageClock',
  z.strictObject({
    clock: z.enum([
      'rest',
      'boil',
      'heat-up',
      'cooling',
      'steep',
      'food-safety',
      'topping',
      'testing',
      'age',
    ]),
    doneSeconds: z.number(),
    ofSeconds: z.number(),
    dueAt: maybe,
  }),
);

const limitNames = [
  ...new Set(Object.values(stageTemplates).flatMap((templates) => Object.keys(templates))),
] as AnyLimitName[];

const limitUnits = [
  '°C',
  's',
  'Pa',
  'm',
  'SG',
  'pH',
  'ppm',
  'fraction',
  'volumes',
] as const satisfies readonly LimitTemplate['unit'][];

const limitInForce = answerNamed<LimitInForce>()(
  'LimitInForce',
  z.strictObject({
    limit: z.enum(limitNames),
    value: maybe,
    unit: z.enum(limitUnits),
    from: z.enum(['batch', 'vessel', 'default']),
    source: z.string(),
  }),
);

export const status = answerNamed<Status>()(
  'Status',
  z.strictObject({
    stage: z.enum(stages).nullable(),
    latest: z.partialRecord(z.enum(channelNames), latestReading),
    fermentation: fermentation.nullable(),
    pressure: pressure.nullable(),
    clocks: z.array(stageClock).readonly(),
    limits: z.array(limitInForce).readonly(),
    alarms: z.array(alarm).readonly(),
    setAside: z.array(alarm).readonly(),
    cautions: z.array(z.string()).readonly(),
  }),
);

export const vesselView = answerNamed<VesselView>()(
  'VesselView',
  z.strictObject({
    vessel,
    batch: batch.nullable(),
    status,
    changes: z.array(alarmChange).readonly(),
    happenings: z.array(happening).readonly(),
    absence: z.strictObject({ from: z.number(), to: z.number() }).nullable(),
  }),
);

export const vesselList = answerNamed<{ readonly vessels: readonly Vessel[] }>()(
  'VesselList',
  z.strictObject({ vessels: z.array(vessel).readonly() }),
);

const numbers = z.array(z.number()).readonly();

const chartSeries = answerNamed<ChartSeries>()(
  'ChartSeries',
  z.strictObject({ low: z.array(maybe).readonly(), high: z.array(maybe).readonly() }),
);

export const chart = answerNamed<ChartData>()(
  'Chart',
  z.strictObject({
    times: numbers,
    series: z.partialRecord(z.enum(channelNames), chartSeries),
    curve: z
      .strictObject({ times: numbers, value: numbers, low: numbers, high: numbers })
      .nullable(),
    limits: z.strictObject({
      ratedGaugePressurePascal: maybe,
      reliefGaugePressurePascal: maybe,
      temperatureBand: temperatureBand.nullable(),
      expectedTerminalGravity: maybe,
    }),
    marks: z
      .array(z.strictObject({ at: z.number(), words: z.string(), kind: markKind }))
      .readonly(),
  }),
);
