/** Operations on alarms. Pure data. */
import type * as z from 'zod';
import type { Act } from '../../../monitoring/watch.ts';
import {
  acknowledgeBody,
  figuresQuery,
  noteBody,
  removeFromServiceBody,
  shelveBody,
} from '../../contract.ts';
import { alarmList, figures } from '../answers/alarm-answers.ts';
import { answers, nothing, type Operation, readers, sends, workers } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

const note = bodyNamed('NoteBody', noteBody);

type ActFacts = {
  readonly title: string;
  readonly words: string;
  readonly schema: z.ZodType;
  readonly example: unknown;
};

/** In an order in which one alarm can go through all of them. */
const acts: Readonly<Record<Act['kind'], ActFacts>> = {
  acknowledge: {
    title: 'Acknowledge an alarm',
    words: 'While it stands it asks again later, at the usual time or at the one given here.',
    schema: bodyNamed('AcknowledgeBody', acknowledgeBody),
    example: { note: 'vented by hand, watching it' },
  },
  shelve: {
    title: 'Set an alarm aside for a time',
    words: 'It comes back by itself. How long is possible depends on its priority.',
    schema: bodyNamed('ShelveBody', shelveBody),
    example: { until: '2030-03-17T20:00:00Z', note: 'the gauge is being changed' },
  },
  unshelve: {
    title: 'Take an alarm off the shelf',
    words: 'It stands again if what it tells of still goes on.',
    schema: note,
    example: { note: 'the gauge is back' },
  },
  'remove-from-service': {
    title: 'Take an alarm out of service',
    words: 'Until somebody puts it back. A reason is needed.',
    schema: bodyNamed('RemoveFromServiceBody', removeFromServiceBody),
    example: { reason: 'the sensor is at the workshop' },
  },
  'return-to-service': {
    title: 'Put an alarm back into service',
    words: 'It stands again if what it tells of still goes on.',
    schema: note,
    example: { note: 'the sensor is back' },
  },
  reset: {
    title: 'Reset a latched alarm',
    words: 'Once it is over and acknowledged, and a person has looked.',
    schema: note,
    example: { note: 'looked, all is calm' },
  },
};

export const alarmOperations: readonly Operation[] = [
  {
    id: 'list-alarms',
    group: 'Alarms',
    method: 'get',
    path: '/v1/cellars/{cellar}/alarms',
    title: 'Alarms that stand, and their history',
    who: readers,
    answer: answers(200, 'What stands, and the latest of what was told.', alarmList),
  },
  {
    id: 'alarm-figures',
    group: 'Alarms',
    method: 'get',
    path: '/v1/cellars/{cellar}/alarms/figures',
    title: 'How the alarms do',
    words: 'Their number, floods, frequent and stale ones, beside what standards are quoted with.',
    who: readers,
    query: figuresQuery,
    answer: answers(200, 'The figures of the last days.', figures),
    refusals: [422],
  },
  ...Object.entries(acts).map(
    ([kind, { title, words, schema, example }]): Operation => ({
      id: `${kind}-alarm`,
      group: 'Alarms',
      method: 'post',
      path: `/v1/cellars/{cellar}/vessels/{vessel}/alarms/{alarm}/${kind}`,
      route: '/v1/cellars/:cellar/vessels/:vessel/alarms/:alarm/:act',
      title,
      words,
      who: workers,
      bodies: sends(schema, example),
      answer: nothing('It is done.'),
      refusals: [404, 409],
    }),
  ),
];
