/** Operations on readings. Pure data. */
import * as z from 'zod';
import { senmlCborMediaType } from '../../../wire/senml-cbor.ts';
import { senmlMediaType } from '../../../wire/senml-write.ts';
import { sensmlMediaType } from '../../../wire/sensml-read.ts';
import { csvMediaType } from '../../csv-pack.ts';
import { csvQuery } from '../../csv-query.ts';
import { historyReport, storedCounts } from '../answers/cellar-answers.ts';
import { answers, keepers, type Operation } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

const number = z.number().optional();

/** The members that RFC 8428 section 12.2 registers; the parser in wire/ says more than a schema can. */
const pack = bodyNamed(
  'SenmlPack',
  z
    .array(
      z.looseObject({
        bn: z.string().optional(),
        bt: number,
        bu: z.string().optional(),
        bv: number,
        bs: number,
        bver: number,
        n: z.string().optional(),
        u: z.string().optional(),
        v: number,
        vs: z.string().optional(),
        vb: z.boolean().optional(),
        vd: z.string().optional(),
        s: number,
        t: number,
        ut: number,
      }),
    )
    .min(1)
    .max(10_000),
);

const senml = [
  { bn: 'keg-3/', n: 'gauge-pressure', u: 'Pa', v: 110_000 },
  { n: 'temperature', u: 'Cel', v: 9.4 },
];

/** `[{-2: "keg-3/", 0: "temperature", 1: "Cel", 2: 9}]` after RFC 8428 section 6: labels in place of names. */
const cbor = Uint8Array.from([
  0x81,
  0xa4,
  0x21,
  0x66,
  ...new TextEncoder().encode('keg-3/'),
  0x00,
  0x6b,
  ...new TextEncoder().encode('temperature'),
  0x01,
  0x63,
  ...new TextEncoder().encode('Cel'),
  0x02,
  0x09,
]);

export const readingOperations: readonly Operation[] = [
  {
    id: 'send-readings',
    group: 'Readings',
    method: 'post',
    path: '/v1/cellars/{cellar}/readings',
    title: 'Send readings',
    words:
      'A pack after SenML (RFC 8428); a record is named {vessel}/{channel}. It is stored whole or refused whole, and may be sent again until it is answered with 200: a reading that is there already changes nothing. A stream (sensml) may stay open for hours and is stored as it arrives. CSV names its vessel in the address. All may come as gzip.',
    who: ['sensor', 'keeper'],
    query: csvQuery.extend({ vessel: z.string().optional() }),
    bodies: {
      [senmlMediaType]: { schema: pack, example: senml },
      [senmlCborMediaType]: { schema: null, example: cbor },
      [csvMediaType]: {
        schema: null,
        example: 'time,temperature (°C)\r\n2030-03-17T17:40:00Z,9.2\r\n',
        query: { vessel: 'keg-3' },
      },
      [sensmlMediaType]: { schema: pack, example: senml },
    },
    answer: answers(200, 'How many readings were stored; it follows the commit.', storedCounts),
  },
  {
    id: 'fill-history',
    group: 'Readings',
    method: 'post',
    path: '/v1/cellars/{cellar}/vessels/{vessel}/history',
    title: 'Fill in the history of a vessel',
    words:
      'CSV of any length, as a logger has kept it: stored as it arrives and judged by nobody, so that no old reading raises an alarm. What is sent again is not stored again, so one that broke off is sent once more. The watch over the batch in the vessel knows of it afterwards. May come as gzip.',
    who: keepers,
    query: csvQuery,
    bodies: {
      [csvMediaType]: {
        schema: null,
        example: 'time,temperature (°F),head pressure (psi)\r\n2030-02-01 08:00Z,48.6,15.9\r\n',
      },
    },
    answer: answers(200, 'What was made of the file and what came of its readings.', historyReport),
    refusals: [404],
  },
];
