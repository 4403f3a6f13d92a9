/** Everything out and in again over HTTP: archives of a cellar or vessel, and readings in three forms. */
import { Hono } from 'hono';
import * as z from 'zod';
import { cellarStub } from '../../storage/env.ts';
import { csvMediaType as csvAnswerType } from '../../wire/csv-write.ts';
import { senmlMediaType } from '../../wire/senml-write.ts';
import { admission, only } from '../admission.ts';
import { requireMediaType } from '../body.ts';
import { Refusal } from '../fault.ts';
import type { HttpContext } from '../http-context.ts';
import { parse } from '../parse.ts';
import { readingForms, readingsAsCsv, readingsAsJson, readingsAsSenml } from './reading-texts.ts';
import { takeArchive } from './take-archive.ts';
import { archiveLines } from './write-archive.ts';

/** JSON values, one a line. The name is in use, though no registry has it. */
export const archiveMediaType = 'application/jsonl';

const seconds = z.coerce.number('must be Unix seconds');

/** Readings after `from` and up to `to`, in Unix seconds. */
export const readingsQuery = z.strictObject({
  as: z.enum(readingForms).default('csv'),
  from: seconds.default(Number.MIN_SAFE_INTEGER),
  to: seconds.default(Number.MAX_SAFE_INTEGER),
});

const forms = {
  csv: { type: csvAnswerType, write: readingsAsCsv },
  json: { type: 'application/json', write: readingsAsJson },
  senml: { type: senmlMediaType, write: readingsAsSenml },
} as const;

/** Text that is made as fast as it is read, in pieces worth sending. */
const streamed = (texts: AsyncGenerator<string>): ReadableStream<Uint8Array> => {
  const encoder = new TextEncoder();
  return new ReadableStream({
    pull: async (controller) => {
      let text = '';
      while (text.length < pieceCharacters) {
        const next = await texts.next();
        if (next.done === true) {
          if (text !== '') controller.enqueue(encoder.encode(text));
          controller.close();
          return;
        }
        text += next.value;
      }
      controller.enqueue(encoder.encode(text));
    },
    cancel: async () => {
      await texts.return(undefined);
    },
  });
};

const pieceCharacters = 16_384;

const asFile = (type: string, name: string) => ({
  'content-type': type,
  'content-disposition': `attachment; filename="${name}"`,
  'cache-control': 'no-store',
});

const checkVessel = (vessels: readonly string[], name: string): void => {
  if (!vessels.includes(name)) throw new Refusal({ kind: 'not-found', what: 'vessel', name });
};

export const archives = new Hono<HttpContext>()
  .use('/:cellar/archive', admission)
  .use('/:cellar/vessels/:vessel/archive', admission)
  .use('/:cellar/vessels/:vessel/readings', admission)
  .get('/:cellar/archive', only('viewer', 'operator', 'keeper'), (context) => {
    const cellar = context.req.param('cellar');
    const lines = archiveLines(context.env, { cellar, vessel: null }, context.get('now'));
    return context.body(streamed(lines), 200, asFile(archiveMediaType, `${cellar}.jsonl`));
  })
  .post('/:cellar/archive', only('keeper'), async (context) => {
    requireMediaType(context.req.raw, [archiveMediaType]);
    const cellar = context.req.param('cellar');
    const now = context.get('now');
    const by = context.get('admission').grant.title;
    const report = await takeArchive(context.env, cellar, context.req.raw, by, now);
    await cellarStub(context.env, cellar).enterJournal({
      at: now,
      by,
      act: 'archive-taken',
      about: cellar,
      note: null,
      facts: report,
    });
    return context.json(report);
  })
  .get(
    '/:cellar/vessels/:vessel/archive',
    only('viewer', 'operator', 'keeper'),
    async (context) => {
      const place = context.req.param();
      checkVessel((await context.get('renew')()).vessels, place.vessel);
      const lines = archiveLines(context.env, place, context.get('now'));
      return context.body(streamed(lines), 200, asFile(archiveMediaType, `${place.vessel}.jsonl`));
    },
  )
  .get(
    '/:cellar/vessels/:vessel/readings',
    only('viewer', 'operator', 'keeper'),
    async (context) => {
      const place = context.req.param();
      const { as, from, to } = parse(readingsQuery, context.req.query());
      checkVessel((await context.get('renew')()).vessels, place.vessel);
      const { type, write } = forms[as];
      const texts = write(context.env, place, { after: from, to });
      return context.body(streamed(texts), 200, asFile(type, `${place.vessel}.${as}`));
    },
  );
