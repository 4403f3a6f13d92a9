/** Operations that belong to no cellar: whether the server answers, founding, this document. Pure data. */
import * as z from 'zod';
import { openMetricsMediaType } from '../../../wire/openmetrics-write.ts';
import { cellarBody, keeperKeyBody } from '../../contract.ts';
import { foundedCellar, health, keeperKey } from '../answers/cellar-answers.ts';
import { answers, type Operation, readers, sends } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

export const serverOperations: readonly Operation[] = [
  {
    id: 'health',
    group: 'The server',
    method: 'get',
    path: '/healthz',
    title: 'Whether Gyleward works',
    words:
      'Found out by a write and a planned wake-up. With 503 the same members say which of them fails.',
    who: 'anyone',
    answer: answers(200, 'Storage takes a write, and wake-ups come on time.', health),
  },
  {
    id: 'interface-document',
    group: 'The server',
    method: 'get',
    path: '/v1/openapi.json',
    title: 'This document',
    words: 'After OpenAPI 3.1, made from the schemas by which requests are checked.',
    who: 'anyone',
    answer: answers(200, 'The document.', z.looseObject({ openapi: z.string() })),
  },
  {
    id: 'found-cellar',
    group: 'The server',
    method: 'post',
    path: '/v1/cellars',
    title: 'Found a cellar',
    words: 'Its first keeper key is in the answer, and is shown this once.',
    who: 'host',
    bodies: sends(bodyNamed('CellarBody', cellarBody), {
      cellar: 'skerrow-yard',
      title: 'Skerrow Yard',
    }),
    answer: answers(201, 'The cellar stands.', foundedCellar),
    refusals: [409],
  },
  {
    id: 'add-keeper-key',
    group: 'The server',
    method: 'post',
    path: '/v1/cellars/{cellar}/keeper-keys',
    title: 'Make another keeper key',
    words: 'For a cellar whose keeper key is lost.',
    who: 'host',
    bodies: sends(bodyNamed('KeeperKeyBody', keeperKeyBody), { title: 'Maren, keeper' }),
    answer: answers(201, 'The key, shown this once.', keeperKey),
    refusals: [404],
  },
  {
    id: 'metrics',
    group: 'The server',
    method: 'get',
    path: '/metrics',
    title: 'How Gyleward itself does, for a scraper',
    words:
      'OpenMetrics text of the cellar whose key is sent; a viewer key is enough. Counters begin anew when an object is started again, and say since when they count.',
    who: readers,
    answer: { status: 200, words: 'The figures.', media: { [openMetricsMediaType]: null } },
  },
];
