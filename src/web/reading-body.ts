/** The readings that one request brings, in whichever form: all of them are sound, or the request is refused. */
import * as z from 'zod';
import type { Result } from '../result.ts';
import { isVesselName, type Reading, readingsOf } from '../wire/readings.ts';
import { parseSenmlJson, type SenmlPack } from '../wire/senml.ts';
import { parseSenmlCbor, type SenmlCborFault, senmlCborMediaType } from '../wire/senml-cbor.ts';
import { senmlMediaType } from '../wire/senml-write.ts';
import { readBytes, utf8 } from './body.ts';
import { csvMediaType, csvOptions, readingsOfCsv } from './csv-pack.ts';
import { csvQuery, listedQuery } from './csv-query.ts';
import { Refusal } from './fault.ts';
import { parse } from './parse.ts';

/** The forms in which a pack may come. */
export const packMediaTypes = [senmlMediaType, senmlCborMediaType, csvMediaType] as const;

type PackMediaType = (typeof packMediaTypes)[number];

/** A pack of ten thousand records is about half of this: chosen by us so that one pack stays small. */
const packLimitBytes = 1024 * 1024;
const packLimitRecords = 10_000;

const csvPackQuery = csvQuery.extend({
  vessel: z
    .string('must name the vessel that the file is about, as in ?vessel=fermenter-1')
    .refine(isVesselName, 'must be the short name of a vessel'),
});

export const readPack = async (
  request: Request,
  type: PackMediaType,
  now: number,
): Promise<readonly Reading[]> => {
  if (type === csvMediaType) {
    const { vessel, ...options } = parse(csvPackQuery, listedQuery(request.url, ['leave-out']));
    const text = utf8(await readBytes(request, packLimitBytes));
    const readings = readingsOfCsv(text, vessel, csvOptions(options, now));
    checkLength(readings.length);
    return readings;
  }
  const pack = senmlOf(await readBytes(request, packLimitBytes), type, now);
  if (!pack.ok) throw new Refusal({ kind: 'senml', fault: pack.fault });
  checkLength(pack.value.records.length);
  const readings = readingsOf(pack.value.records, { now });
  if (!readings.ok) throw new Refusal({ kind: 'reading', fault: readings.fault });
  return readings.value;
};

const senmlOf = (
  bytes: Uint8Array,
  type: Exclude<PackMediaType, typeof csvMediaType>,
  now: number,
): Result<SenmlPack, SenmlCborFault> =>
  type === senmlCborMediaType ? parseSenmlCbor(bytes, now) : parseSenmlJson(utf8(bytes), now);

const checkLength = (records: number): void => {
  if (records > packLimitRecords)
    throw new Refusal({ kind: 'pack-too-long', records, limit: packLimitRecords });
};
