/** Operations on the records: how long they are kept, holds, and the journal. Pure data. */
import * as z from 'zod';
import { senmlMediaType } from '../../../wire/senml-write.ts';
import { archiveMediaType, readingsQuery } from '../../archive/routes.ts';
import { journalQuery, legalHoldBody, retentionBody } from '../../contract.ts';
import { archiveReport, journal, keptDays, legalHold } from '../answers/record-answers.ts';
import { answers, keepers, type Operation, readers, sends } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

const archive = '/v1/cellars/{cellar}/archive';

/** Objects of a time and a number for each channel, or records of SenML. */
const readingRows = z.array(z.looseObject({}));

const retention = '/v1/cellars/{cellar}/retention';

export const recordOperations: readonly Operation[] = [
  {
    id: 'read-retention',
    group: 'Records',
    method: 'get',
    path: retention,
    title: 'How long every reading is kept',
    who: readers,
    answer: answers(200, 'The days; of older readings an hour keeps four numbers.', keptDays),
  },
  {
    id: 'set-retention',
    group: 'Records',
    method: 'put',
    path: retention,
    title: 'Set how long every reading is kept',
    words:
      'Older readings are thinned to least, mean, greatest and count of each hour, but for those of batches that run or are under legal hold. What is thinned does not come back.',
    who: keepers,
    bodies: sends(bodyNamed('RetentionBody', retentionBody), { keepDays: 730 }),
    answer: answers(200, 'The days that hold now.', keptDays),
  },
  {
    id: 'set-legal-hold',
    group: 'Records',
    method: 'put',
    path: '/v1/cellars/{cellar}/batches/{batch}/legal-hold',
    title: 'Put a batch under legal hold, or lift it',
    words: 'Under legal hold a batch keeps each of its readings, whatever their age.',
    who: keepers,
    bodies: sends(bodyNamed('LegalHoldBody', legalHoldBody), {
      held: true,
      note: 'complaint 2030-14',
    }),
    answer: answers(200, 'Whether it is held.', legalHold),
    refusals: [404],
  },
  {
    id: 'read-journal',
    group: 'Records',
    method: 'get',
    path: '/v1/cellars/{cellar}/journal',
    title: 'The journal',
    words:
      'What people did, with who and when: at most 500 entries, and those before one of them with its id.',
    who: keepers,
    query: journalQuery,
    answer: answers(200, 'The entries, the latest first.', journal),
    refusals: [422],
  },
  {
    id: 'export-journal',
    group: 'Records',
    method: 'get',
    path: '/v1/cellars/{cellar}/journal.csv',
    title: 'The whole journal as CSV',
    words: 'The oldest entry first, so that a later file begins with an earlier one.',
    who: keepers,
    answer: { status: 200, words: 'The file.', media: { 'text/csv': null } },
  },
  {
    id: 'export-readings',
    group: 'Records',
    method: 'get',
    path: '/v1/cellars/{cellar}/vessels/{vessel}/readings',
    title: 'The readings of a vessel',
    words:
      'Every reading that is kept in full detail, in order of time: as CSV, which the history of a vessel takes back, as JSON, or as SenML.',
    who: readers,
    query: readingsQuery,
    answer: {
      status: 200,
      words: 'The readings, as long as they are.',
      media: { 'text/csv': null, 'application/json': readingRows, [senmlMediaType]: readingRows },
    },
    refusals: [404, 422],
  },
  {
    id: 'export-vessel',
    group: 'Records',
    method: 'get',
    path: '/v1/cellars/{cellar}/vessels/{vessel}/archive',
    title: 'Everything of a vessel',
    words: 'Lines of JSON: the vessel, its batches, its history, its readings.',
    who: readers,
    answer: { status: 200, words: 'The archive.', media: { [archiveMediaType]: null } },
    refusals: [404],
  },
  {
    id: 'export-cellar',
    group: 'Records',
    method: 'get',
    path: archive,
    title: 'Everything of a cellar',
    words:
      'Lines of JSON: vessels, batches with their samples and limits, the history of alarms, every reading. Keys, receivers and the journal are no part of it.',
    who: readers,
    answer: { status: 200, words: 'The archive.', media: { [archiveMediaType]: null } },
  },
  {
    id: 'take-archive',
    group: 'Records',
    method: 'post',
    path: archive,
    title: 'Take an archive into a cellar',
    words:
      'What is there already and says the same is left as it is, so an archive that broke off is sent again. Nobody is told of what it holds; alarms stand as they stood. May come as gzip.',
    who: keepers,
    bodies: {
      [archiveMediaType]: {
        schema: null,
        example:
          '{"kind":"archive","version":1,"cellar":"old-yard","title":"Old yard","writtenAt":1899900000}\n{"kind":"end","lines":1}\n',
      },
    },
    answer: answers(200, 'What was taken.', archiveReport),
    refusals: [409],
  },
];
