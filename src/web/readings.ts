/**
 * The door for readings. A pack is checked whole before anything is stored; the answer 200 follows
 * the commit. Records of several vessels go to several objects: if the platform fails in between,
 * the answer is 503 and re-sending the same pack is safe, since a repeated reading changes nothing.
 */
import { Hono } from 'hono';
import type { Admission } from '../storage/cellar-object.ts';
import { vesselStub } from '../storage/env.ts';
import type { StoredCounts } from '../storage/reading-table.ts';
import { type Reading, readingsOf } from '../wire/readings.ts';
import { parseSenmlJson } from '../wire/senml.ts';
import { admission, only } from './admission.ts';
import { readText, requireMediaType } from './body.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';

/** A pack of ten thousand records is about half of this: chosen by us so that one pack stays small. */
const packLimitBytes = 1024 * 1024;
const packLimitRecords = 10_000;

const groupByVessel = (readings: readonly Reading[]): ReadonlyMap<string, readonly Reading[]> =>
  Map.groupBy(readings, (reading) => reading.vessel);

/** A vessel made within the last second may be missing from a remembered admission: ask again. */
const checkVessels = async (
  readings: readonly Reading[],
  { grant, vessels }: Admission,
  renew: () => Promise<Admission>,
): Promise<void> => {
  const forbidden = readings.find(
    ({ vessel }) => grant.vessels !== null && !grant.vessels.includes(vessel),
  );
  if (forbidden !== undefined)
    throw new Refusal({
      kind: 'vessel-not-granted',
      vessel: forbidden.vessel,
      record: forbidden.record,
    });
  if (readings.every(({ vessel }) => vessels.includes(vessel))) return;
  const renewed = (await renew()).vessels;
  const unknown = readings.find(({ vessel }) => !renewed.includes(vessel));
  if (unknown !== undefined)
    throw new Refusal({
      kind: 'vessel-not-listed',
      vessel: unknown.vessel,
      record: unknown.record,
    });
};

const addCounts = (all: readonly StoredCounts[]): StoredCounts =>
  all.reduce(
    (sum, counts) => ({
      stored: sum.stored + counts.stored,
      repeated: sum.repeated + counts.repeated,
      corrected: sum.corrected + counts.corrected,
    }),
    { stored: 0, repeated: 0, corrected: 0 },
  );

export const readings = new Hono<HttpContext>()
  .use('/:cellar/readings', admission)
  .post('/:cellar/readings', only('sensor', 'keeper'), async (context) => {
    requireMediaType(context.req.raw, ['application/senml+json']);
    const now = context.get('now');
    const text = await readText(context.req.raw, packLimitBytes);
    const pack = parseSenmlJson(text, now);
    if (!pack.ok) throw new Refusal({ kind: 'senml', fault: pack.fault });
    if (pack.value.records.length > packLimitRecords)
      throw new Refusal({
        kind: 'pack-too-long',
        records: pack.value.records.length,
        limit: packLimitRecords,
      });
    const resolved = readingsOf(pack.value.records, { now });
    if (!resolved.ok) throw new Refusal({ kind: 'reading', fault: resolved.fault });

    if (resolved.value.length === 0) throw new Refusal({ kind: 'pack-without-readings' });

    const cellar = context.req.param('cellar');
    await checkVessels(resolved.value, context.get('admission'), context.get('renew'));
    const counts = await Promise.all(
      [...groupByVessel(resolved.value)].map(async ([vessel, own]) => {
        const stored = await vesselStub(context.env, cellar, vessel).record(
          own.map(({ channel, time, value }) => ({ channel, time, value })),
          now,
          context.get('admission').grant.keyId,
        );
        if (stored === null)
          throw new Refusal({ kind: 'vessel-not-listed', vessel, record: own[0]?.record ?? 0 });
        if ('kind' in stored)
          throw new Refusal({
            kind: 'over-budget',
            vessel,
            retryAfterSeconds: stored.retryAfterSeconds,
          });
        return stored;
      }),
    );
    return context.json(addCounts(counts));
  });
