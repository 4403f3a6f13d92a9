/** Readings of a vessel in full detail as text in three forms, a bounded piece at a time. */
import { type Channel, channels } from '../../science/units/channel.ts';
import { type Env, vesselStub } from '../../storage/env.ts';
import type { ReadingRow, RowPage } from '../../storage/reading-rows.ts';
import { csvUnit } from '../../wire/csv-read-units.ts';
import { csvRow } from '../../wire/csv-write.ts';
import { rfc3339 } from '../../wire/rfc3339.ts';
import { defaultSenmlVersion, secondaryUnitsVersion } from '../../wire/senml.ts';

export const readingForms = ['csv', 'json', 'senml'] as const;

type Span = { readonly after: number; readonly to: number };

type Place = { readonly cellar: string; readonly vessel: string };

async function* rowPages(
  env: Env,
  { cellar, vessel }: Place,
  span: Span,
): AsyncGenerator<readonly ReadingRow[]> {
  const stub = vesselStub(env, cellar, vessel);
  for (let after: number | null = span.after; after !== null; ) {
    const page: RowPage | null = await stub.readingRows(after, span.to);
    if (page === null) return;
    yield page.rows;
    after = page.next;
  }
}

/** As headings say them: what CSV readers of ours take back. */
const csvUnits: Readonly<Record<Channel, string>> = {
  temperature: '°C',
  gravity: 'SG',
  density: 'kg/m3',
  'gauge-pressure': 'Pa',
  'absolute-pressure': 'Pa',
  'gas-flow': 'm3/s',
  ph: 'pH',
  'carbon-dioxide': 'ppm',
  oxygen: '% vol',
  humidity: '%RH',
  mass: 'kg',
};

/** Date and time in UTC with every digit of the second that there is. */
const csvTime = (time: number): string => {
  const whole = Math.floor(time);
  const fraction = String(time).split('.')[1];
  const text = (rfc3339(whole) ?? String(whole)).replace(/\.0+Z$/, 'Z');
  return fraction === undefined ? text : text.replace(/Z$/, `.${fraction}Z`);
};

export async function* readingsAsCsv(env: Env, place: Place, span: Span): AsyncGenerator<string> {
  const known = await vesselStub(env, place.cellar, place.vessel).channelsRead();
  const columns = known.map((channel) => {
    const unit = csvUnit(channel, csvUnits[channel]);
    const heading = `${channel === 'ph' ? 'pH' : channel.replaceAll('-', ' ')} (${csvUnits[channel]})`;
    return {
      channel,
      heading,
      written: unit.ok ? unit.value.fromStored : (value: number) => value,
    };
  });
  yield line(['time', ...columns.map(({ heading }) => heading)]);
  for await (const rows of rowPages(env, place, span))
    yield rows
      .map(({ time, values }) =>
        line([
          csvTime(time),
          ...columns.map(({ channel, written }) => {
            const value = values[channel];
            return value === undefined ? null : written(value);
          }),
        ]),
      )
      .join('');
}

const line = (cells: readonly (string | number | null)[]): string => {
  const row = csvRow(cells);
  return row.ok ? row.value : '';
};

/** An array of objects, each with its time and its channels in their stored units. */
export async function* readingsAsJson(env: Env, place: Place, span: Span): AsyncGenerator<string> {
  let separator = '[';
  for await (const rows of rowPages(env, place, span))
    for (const { time, values } of rows) {
      yield `${separator}\n${JSON.stringify({ time, ...values })}`;
      separator = ',';
    }
  yield separator === '[' ? '[]\n' : '\n]\n';
}

/** One SenML pack, resolved (RFC 8428 section 4.6), of version 26 where a unit is of the second registry. */
export async function* readingsAsSenml(env: Env, place: Place, span: Span): AsyncGenerator<string> {
  const known = await vesselStub(env, place.cellar, place.vessel).channelsRead();
  const secondary = known.some((channel) => channels[channel].unit === 'ppm');
  const version = secondary ? secondaryUnitsVersion : defaultSenmlVersion;
  const bver = version === defaultSenmlVersion ? {} : { bver: version };
  let separator = '[';
  for await (const rows of rowPages(env, place, span))
    for (const { time, values } of rows)
      for (const channel of known) {
        const value = values[channel];
        if (value === undefined) continue;
        const fields = {
          n: `${place.vessel}/${channel}`,
          u: channels[channel].unit,
          t: time,
          v: value,
        };
        yield `${separator}\n${JSON.stringify({ ...bver, ...fields })}`;
        separator = ',';
      }
  yield separator === '[' ? '[]\n' : '\n]\n';
}
