/**
 * What a person typed into a form, turned into the body that the JSON interface takes, so that both
 * are checked by one schema. Blank means absent; a decimal comma is taken as a point; pressures come
 * in bar and limits in per cent, as the trade writes them.
 */
import type { FieldFault } from './fault.ts';

export type Typed = Readonly<Record<string, string>>;

const pascalPerBar = 100_000;

const text = (typed: Typed, field: string): string | undefined => {
  const value = typed[field]?.trim() ?? '';
  return value === '' ? undefined : value;
};

/** A number, null for blank, or the text itself where it is none: the schema then quotes it. */
const number = (typed: Typed, field: string, factor = 1): number | string | null => {
  const value = text(typed, field);
  if (value === undefined) return null;
  const parsed = Number(value.replace(',', '.'));
  // Twelve digits undo what multiplying by a factor adds in binary: 1.1 bar is 110000 Pa.
  return Number.isFinite(parsed) ? Number((parsed * factor).toPrecision(12)) : value;
};

const band = (typed: Typed): unknown => {
  const lowCelsius = number(typed, 'lowCelsius');
  const highCelsius = number(typed, 'highCelsius');
  return lowCelsius === null && highCelsius === null ? null : { lowCelsius, highCelsius };
};

export const vesselFromForm = (typed: Typed): unknown => ({
  vessel: text(typed, 'vessel'),
  title: text(typed, 'title'),
  kind: text(typed, 'kind'),
  volumeLitre: number(typed, 'volumeLitre'),
  headspaceLitre: number(typed, 'headspaceLitre') ?? 0,
  ratedGaugePressurePascal: number(typed, 'ratedGaugePressureBar', pascalPerBar),
  reliefGaugePressurePascal: number(typed, 'reliefGaugePressureBar', pascalPerBar),
  gasConnected: typed.gasConnected !== undefined,
  temperatureBand: band(typed),
});

/** `datetime-local` carries no zone: the page's script sends UTC, and without it UTC is what is shown. */
const moment = (typed: Typed, field: string): string | undefined => {
  const value = text(typed, field);
  if (value === undefined) return undefined;
  const minute = /^(\d{4}-\d\d-\d\dT\d\d:\d\d)Z?$/.exec(value)?.[1];
  return minute === undefined ? value : `${minute}:00Z`;
};

export const batchFromForm = (typed: Typed): unknown => ({
  vessel: text(typed, 'vessel'),
  batch: text(typed, 'batch'),
  title: text(typed, 'title'),
  drink: text(typed, 'drink'),
  startedAt: moment(typed, 'startedAt'),
  originalGravity: number(typed, 'originalGravity'),
  expectedTerminalGravity: number(typed, 'expectedTerminalGravity'),
  attenuationLimit: number(typed, 'attenuationLimitPercent', 0.01),
  temperatureBand: band(typed),
  carbonationVolumes: number(typed, 'carbonationVolumes'),
});

/** A form with a body is that of a mail relay. */
export const receiverFromForm = (typed: Typed): unknown => ({
  title: typed.title,
  url: typed.url,
  ...(typed.body === undefined
    ? {}
    : {
        template: {
          method: typed.method,
          headers: {
            'content-type': text(typed, 'contentType') ?? '',
            ...(text(typed, 'authorization') === undefined
              ? {}
              : { authorization: text(typed, 'authorization') }),
          },
          body: typed.body,
        },
      }),
});

export const sampleFromForm = (typed: Typed): unknown => ({
  readingGravity: number(typed, 'readingGravity'),
  sampleTemperatureCelsius: number(typed, 'sampleTemperatureCelsius'),
  ph: number(typed, 'ph'),
  note: text(typed, 'note') ?? null,
});

/** Names of form fields that differ from the members of the body they fill. */
const formFields: Readonly<Record<string, string>> = {
  ratedGaugePressurePascal: 'ratedGaugePressureBar',
  reliefGaugePressurePascal: 'reliefGaugePressureBar',
  attenuationLimit: 'attenuationLimitPercent',
  'temperatureBand.lowCelsius': 'lowCelsius',
  'temperatureBand.highCelsius': 'highCelsius',
  temperatureBand: 'lowCelsius',
  expiresAt: 'lifetime',
  template: 'body',
};

/** Problems by the form's own field names; the first one of each field. */
export const problemsByField = (
  faults: readonly FieldFault[],
): Readonly<Record<string, string>> => {
  const problems: Record<string, string> = {};
  for (const { field, detail } of faults) {
    const own = formFields[field] ?? field;
    problems[own] ??= detail;
  }
  return problems;
};
