/**
 * The batch and its vessel as the command line describes them. Each value may carry its own unit ("12.9 °P", "7 US bbl");
 * without one it is read in the unit that the option's help names. What is not said is not made up in silence: every
 * default is told in `supposed`. Errors name the option, the value and what to do.
 */

import { drinks, stages } from '../../monitoring/batch.ts';
import { fail, ok, type Result } from '../../result.ts';
import {
  convertMeasure,
  type Measure,
  unitMeant,
  unitsOfMeasure,
} from '../../web/calculations/measure.ts';
import { csvTime, zoneOffset } from '../../wire/csv-read-time.ts';
import type { DescribedBatch } from './described-batch.ts';
import { supposedHeadspaceShare, supposedOf, supposedVolumeLitre } from './supposed.ts';

/** The options of a history, as parseArgs wants them. */
export const batchOptions = {
  title: { type: 'string' },
  drink: { type: 'string' },
  stage: { type: 'string' },
  og: { type: 'string' },
  terminal: { type: 'string' },
  limit: { type: 'string' },
  final: { type: 'string' },
  low: { type: 'string' },
  high: { type: 'string' },
  volume: { type: 'string' },
  headspace: { type: 'string' },
  'rated-bar': { type: 'string' },
  'relief-bar': { type: 'string' },
  carbonation: { type: 'string' },
  'gas-connected': { type: 'boolean' },
  zone: { type: 'string' },
  started: { type: 'string' },
  ended: { type: 'string' },
} as const;

type BatchOption = keyof typeof batchOptions;
export type BatchValues = Readonly<Partial<Record<BatchOption, string | boolean | undefined>>>;

type Bound = {
  readonly measure: Measure;
  /** In which the option is read where it names no unit. */
  readonly unit: string;
  /** In which the value is kept. */
  readonly stored: string;
  readonly lowest: number;
  readonly highest: number;
};

const gravity: Bound = {
  measure: 'gravity',
  unit: 'SG',
  stored: 'SG',
  lowest: 0.96,
  highest: 1.17,
};
const celsius: Bound = {
  measure: 'temperature',
  unit: '°C',
  stored: '°C',
  lowest: -10,
  highest: 110,
};
const litre: Bound = { measure: 'volume', unit: 'L', stored: 'L', lowest: 0.1, highest: 1e7 };
const bar: Bound = { measure: 'pressure', unit: 'bar', stored: 'Pa', lowest: 1000, highest: 2e6 };

const measured = {
  og: { ...gravity, lowest: 1.001 },
  terminal: gravity,
  final: gravity,
  limit: { measure: 'share', unit: '%', stored: '', lowest: 0.1, highest: 1.25 },
  low: celsius,
  high: celsius,
  volume: litre,
  headspace: litre,
  'rated-bar': bar,
  'relief-bar': bar,
  carbonation: {
    measure: 'carbonation',
    unit: 'volumes',
    stored: 'volumes',
    lowest: 0.1,
    highest: 6,
  },
} as const satisfies Readonly<Partial<Record<BatchOption, Bound>>>;

/** Throws nothing: the first fault comes back as the words to print. */
export const describedBatch = (
  values: BatchValues,
  /** Stands for the title where none is given. */
  fileName: string,
): Result<DescribedBatch, string> => {
  const text = (option: BatchOption): string | null => {
    const value = values[option];
    return typeof value === 'string' ? value.trim() : null;
  };
  const drink = oneOf('drink', text('drink') ?? 'ale', drinks);
  if (!drink.ok) return drink;
  const stage = oneOf('stage', text('stage') ?? 'fermentation', stages);
  if (!stage.ok) return stage;
  const zone = text('zone');
  const zoneOffsetSeconds = zone === null ? null : /^UTC$/i.test(zone) ? 0 : zoneOffset(zone);
  if (zone !== null && zoneOffsetSeconds === null) {
    return fail(`--zone is "${zone}"; give UTC or the offset from it, as in --zone=+01:00`);
  }
  const found: Partial<Record<keyof typeof measured, number>> = {};
  for (const option of Object.keys(measured) as (keyof typeof measured)[]) {
    const typed = text(option);
    if (typed === null) continue;
    const value = measuredValue(option, typed, measured[option]);
    if (!value.ok) return value;
    found[option] = value.value;
  }
  const moments: Partial<Record<'started' | 'ended', number>> = {};
  for (const option of ['started', 'ended'] as const) {
    const typed = text(option);
    if (typed === null) continue;
    const at = momentOf(option, typed, zoneOffsetSeconds ?? 0);
    if (!at.ok) return at;
    moments[option] = at.value;
  }
  const clash = clashIn(found, moments);
  if (clash !== null) return fail(clash);

  const { low, high } = found;
  const volumeLitre = found.volume ?? supposedVolumeLitre;
  const described: Omit<DescribedBatch, 'supposed'> = {
    title: text('title') ?? fileName,
    drink: drink.value,
    stage: stage.value,
    originalGravity: found.og ?? null,
    expectedTerminalGravity: found.terminal ?? null,
    attenuationLimit: found.limit ?? null,
    finalGravity: found.final ?? null,
    temperatureBand:
      low === undefined || high === undefined ? null : { lowCelsius: low, highCelsius: high },
    volumeLitre,
    headspaceLitre: found.headspace ?? volumeLitre * supposedHeadspaceShare,
    ratedGaugePressurePascal: found['rated-bar'] ?? null,
    reliefGaugePressurePascal: found['relief-bar'] ?? null,
    carbonationVolumes: found.carbonation ?? null,
    gasConnected: values['gas-connected'] === true,
    zoneOffsetSeconds,
    startedAt: moments.started ?? null,
    endedAt: moments.ended ?? null,
  };
  return ok({ ...described, supposed: supposedOf(described, values) });
};

const oneOf = <Name extends string>(
  option: BatchOption,
  typed: string,
  names: readonly Name[],
): Result<Name, string> => {
  const name = names.find((known) => known === typed.toLowerCase());
  return name === undefined
    ? fail(`--${option} is "${typed}"; give one of ${names.join(', ')}`)
    : ok(name);
};

const measuredValue = (
  option: BatchOption,
  typed: string,
  bound: Bound,
): Result<number, string> => {
  const found = /^([+-]?\d+(?:[.,]\d+)?)\s*(.*)$/.exec(typed);
  const units = unitsOfMeasure(bound.measure).filter((unit) => unit !== '');
  if (found === null) {
    return fail(
      `--${option} is "${typed}"; give a number, in ${bound.unit} or with its unit behind it`,
    );
  }
  const [, digits = '', named = ''] = found;
  const unit = named === '' ? bound.unit : unitMeant(bound.measure, named);
  if (unit === null) {
    return fail(
      `--${option} is "${typed}", with the unit "${named}"; use one of ${units.join(', ')}`,
    );
  }
  const value = convertMeasure(bound.measure, Number(digits.replace(',', '.')), unit, bound.stored);
  const inside = value.ok && value.value >= bound.lowest && value.value <= bound.highest;
  if (!inside) {
    const limit = (stored: number): string => {
      const shown = convertMeasure(bound.measure, stored, bound.stored, bound.unit);
      return shown.ok ? String(Number(shown.value.toPrecision(4))) : String(stored);
    };
    return fail(
      `--${option} is "${typed}", outside ${limit(bound.lowest)} to ${limit(bound.highest)} ${bound.unit}; correct it`,
    );
  }
  return ok(value.value);
};

const momentOf = (
  option: BatchOption,
  typed: string,
  zoneOffsetSeconds: number,
): Result<number, string> => {
  if (/^\d{9,10}$/.test(typed)) return ok(Number(typed));
  const time = csvTime(typed, zoneOffsetSeconds);
  return time.ok
    ? ok(time.value.timeSeconds)
    : fail(`--${option} is "${typed}"; write it as 2026-11-25T09:30 or in Unix seconds`);
};

/** Values that are possible each, but not together. */
const clashIn = (
  found: Partial<Record<keyof typeof measured, number>>,
  moments: Partial<Record<'started' | 'ended', number>>,
): string | null => {
  const { low, high, og, terminal, volume, headspace } = found;
  if ((low === undefined) !== (high === undefined)) {
    return `--${low === undefined ? 'low' : 'high'} is missing; a temperature band needs both --low and --high`;
  }
  if (low !== undefined && high !== undefined && low >= high) {
    return `--low is ${low} °C and --high ${high} °C; give a band whose low end is below its high end`;
  }
  if (og !== undefined && terminal !== undefined && terminal >= og) {
    return `--terminal is ${terminal} and --og ${og}; a fermentation ends below where it began`;
  }
  if (headspace !== undefined && volume === undefined) {
    return '--volume is missing; --headspace is a part of the whole inner volume, so give both';
  }
  if (headspace !== undefined && volume !== undefined && headspace >= volume) {
    return `--headspace is ${headspace} L and --volume ${volume} L; --volume is the whole inner volume, drink and headspace together`;
  }
  const { started, ended } = moments;
  return started !== undefined && ended !== undefined && started >= ended
    ? '--ended is not after --started; correct one of them'
    : null;
};
