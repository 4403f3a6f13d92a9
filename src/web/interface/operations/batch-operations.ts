/** Operations on batches and on samples taken from them by hand. Pure data. */
import { batchBody, deedBody, ownLimitsBody, sampleBody, stageBody } from '../../contract.ts';
import { limitsBody } from '../../limits-body.ts';
import { handSample, placedBatch } from '../answers/batch-answers.ts';
import { batchList, batchView } from '../answers/batch-list-answers.ts';
import { answers, type Operation, readers, sends, workers } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

bodyNamed('LimitsBody', limitsBody);

const batches = '/v1/cellars/{cellar}/batches';
const one = `${batches}/{batch}`;
const changed = 'The batch after the change.';

export const batchOperations: readonly Operation[] = [
  {
    id: 'start-batch',
    group: 'Batches',
    method: 'post',
    path: batches,
    title: 'Put a batch into a vessel',
    words: 'Without a stage it begins in the one that is usual for the vessel.',
    who: workers,
    bodies: sends(bodyNamed('BatchBody', batchBody), {
      vessel: 'keg-3',
      batch: 'haymaker-12',
      title: 'Haymaker ale',
      drink: 'ale',
      originalGravity: 1.048,
      expectedTerminalGravity: 1.011,
      temperatureBand: { lowCelsius: 4, highCelsius: 14 },
    }),
    answer: answers(201, 'The batch as it was started.', placedBatch),
    refusals: [404, 409],
  },
  {
    id: 'list-batches',
    group: 'Batches',
    method: 'get',
    path: batches,
    title: 'All batches',
    who: readers,
    answer: answers(200, 'Every batch of the cellar, the latest first.', batchList),
  },
  {
    id: 'view-batch',
    group: 'Batches',
    method: 'get',
    path: one,
    title: 'How a batch is',
    words: 'Once it has ended, what was known of it at its end.',
    who: readers,
    answer: answers(200, 'The batch, where it is, and how it does.', batchView),
    refusals: [404],
  },
  {
    id: 'change-stage',
    group: 'Batches',
    method: 'post',
    path: `${one}/stage`,
    title: 'Move a batch on to another stage',
    who: workers,
    bodies: sends(bodyNamed('StageBody', stageBody), { stage: 'conditioning' }),
    answer: answers(200, changed, placedBatch),
    refusals: [404, 409],
  },
  {
    id: 'set-limits',
    group: 'Batches',
    method: 'post',
    path: `${one}/limits`,
    title: 'Set limits for one batch',
    words:
      'They replace what the batch had set before; a stage that is left out goes back to its defaults. Where somebody can be hurt a limit can only be made stricter.',
    who: workers,
    bodies: sends(bodyNamed('OwnLimitsBody', ownLimitsBody), {
      limits: { conditioning: { lowCelsius: 1, highCelsius: 9 } },
    }),
    answer: answers(200, changed, placedBatch),
    refusals: [404, 409],
  },
  {
    id: 'record-deed',
    group: 'Batches',
    method: 'post',
    path: `${one}/deeds`,
    title: 'Write down that a batch was topped or tested',
    who: workers,
    bodies: sends(bodyNamed('DeedBody', deedBody), { deed: 'tested', note: 'free SO2 28 mg/L' }),
    answer: answers(201, changed, placedBatch),
    refusals: [404, 409],
  },
  {
    id: 'take-sample',
    group: 'Batches',
    method: 'post',
    path: '/v1/cellars/{cellar}/vessels/{vessel}/samples',
    title: 'Write down a sample taken by hand',
    words: 'A hydrometer is corrected for the temperature of the sample, and outranks the sensor.',
    who: workers,
    bodies: sends(bodyNamed('SampleBody', sampleBody), {
      readingGravity: 1.031,
      sampleTemperatureCelsius: 19.5,
      ph: 4.4,
      note: 'tastes clean',
    }),
    answer: answers(201, 'The sample with its corrected gravity.', handSample),
    refusals: [404, 409],
  },
  {
    id: 'end-batch',
    group: 'Batches',
    method: 'post',
    path: `${one}/end`,
    title: 'End a batch',
    words: 'The vessel is empty afterwards. It takes no body.',
    who: workers,
    answer: answers(200, 'The batch with its end.', placedBatch),
    refusals: [404, 409],
  },
];
