/** Operations on the records: how long they are kept, holds, and the journal. Pure data. */
import { legalHoldBody, retentionBody } from '../../contract.ts';
import { journal, keptDays, legalHold } from '../answers/record-answers.ts';
import { answers, keepers, type Operation, readers, sends } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

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
    words: 'What was done to the records, with who and when, the latest 500 entries.',
    who: keepers,
    answer: answers(200, 'The entries, the latest first.', journal),
  },
];
