/** Operations on readings. Pure data. */
import * as z from 'zod';
import { storedCounts } from '../answers/cellar-answers.ts';
import { answers, type Operation } from '../operation.ts';
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

export const readingOperations: readonly Operation[] = [
  {
    id: 'send-readings',
    group: 'Readings',
    method: 'post',
    path: '/v1/cellars/{cellar}/readings',
    title: 'Send readings',
    words:
      'A pack after SenML (RFC 8428); a record is named {vessel}/{channel}. It is stored whole or refused whole, and may be sent again until it is answered with 200: a reading that is there already changes nothing.',
    who: ['sensor', 'keeper'],
    bodies: {
      'application/senml+json': {
        schema: pack,
        example: [
          { bn: 'keg-3/', n: 'gauge-pressure', u: 'Pa', v: 110_000 },
          { n: 'temperature', u: 'Cel', v: 9.4 },
        ],
      },
    },
    answer: answers(200, 'How many readings were stored; it follows the commit.', storedCounts),
    refusals: [429],
  },
];
