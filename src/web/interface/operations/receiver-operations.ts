/** Operations of keepers on receivers of news. Pure data. */
import { dutyBody, heartbeatBody, receiverBody, resendBody } from '../../contract.ts';
import {
  deadLetterList,
  madeReceiver,
  receiverList,
  replacedSecret,
  sentAgain,
} from '../answers/receiver-answers.ts';
import { answers, keepers, nothing, type Operation, sends } from '../operation.ts';
import { bodyNamed } from '../schema-book.ts';

const receivers = '/v1/cellars/{cellar}/receivers';
const one = `${receivers}/{receiver}`;

export const receiverOperations: readonly Operation[] = [
  {
    id: 'add-receiver',
    group: 'Receivers of news',
    method: 'post',
    path: receivers,
    title: 'Add a receiver of news',
    words: 'It gets each change as a CloudEvents document, signed after Standard Webhooks.',
    who: keepers,
    bodies: sends(bodyNamed('ReceiverBody', receiverBody), {
      title: 'Phone of the cellar',
      url: 'https://example.com/gyleward',
    }),
    answer: answers(201, 'The receiver with its signing secret, shown this once.', madeReceiver),
  },
  {
    id: 'list-receivers',
    group: 'Receivers of news',
    method: 'get',
    path: receivers,
    title: 'All receivers',
    who: keepers,
    answer: answers(200, 'Every receiver with what waits for it.', receiverList),
  },
  {
    id: 'set-duty',
    group: 'Receivers of news',
    method: 'put',
    path: `${one}/duty`,
    title: 'Say whom a receiver is told of, and when',
    words:
      'Priorities, vessels and hours on a local clock; with afterMinutes it is told of high and medium alarms only once nobody has acknowledged them for so long. Outside its hours it is told nothing; when they begin, it is told of what still waits for an answer.',
    who: keepers,
    bodies: sends(bodyNamed('DutyBody', dutyBody), {
      priorities: ['high', 'medium'],
      vessels: ['keg-3'],
      hours: {
        zone: 'Europe/London',
        from: '18:00',
        to: '08:00',
        days: ['monday', 'tuesday', 'wednesday', 'thursday', 'friday'],
      },
      afterMinutes: 15,
    }),
    answer: nothing('It is kept.'),
    refusals: [404],
  },
  {
    id: 'set-heartbeat',
    group: 'Receivers of news',
    method: 'put',
    path: `${one}/heartbeat`,
    title: 'Let a receiver hear that Gyleward is up',
    words:
      'A message of the type gyleward.heartbeat every so many minutes, never tried twice; what watches for it notices when Gyleward itself is gone. Null ends it.',
    who: keepers,
    bodies: sends(bodyNamed('HeartbeatBody', heartbeatBody), { everyMinutes: 60 }),
    answer: nothing('It is kept.'),
    refusals: [404],
  },
  {
    id: 'test-receiver',
    group: 'Receivers of news',
    method: 'post',
    path: `${one}/test`,
    title: 'Send a test',
    words: 'One message that says it is a test; the list says what came of it.',
    who: keepers,
    answer: nothing('It is on its way.'),
    refusals: [404],
  },
  {
    id: 'replace-receiver-secret',
    group: 'Receivers of news',
    method: 'post',
    path: `${one}/secret`,
    title: 'Make a new signing secret',
    words:
      'For 24 hours the former secret signs as well: each message then carries two signatures.',
    who: keepers,
    answer: answers(200, 'The secret, shown this once.', replacedSecret),
    refusals: [404],
  },
  {
    id: 'list-dead-letters',
    group: 'Receivers of news',
    method: 'get',
    path: `${one}/dead-letters`,
    title: 'What was given up',
    words: 'Messages that could not be delivered for three days, the newest first.',
    who: keepers,
    answer: answers(200, 'Each with when it was told, when given up and why.', deadLetterList),
    refusals: [404],
  },
  {
    id: 'send-again',
    group: 'Receivers of news',
    method: 'post',
    path: `${one}/dead-letters/resend`,
    title: 'Send again what was given up',
    words: 'All of it, or one message by its id. The receiver sees the same ids as before.',
    who: keepers,
    bodies: sends(bodyNamed('ResendBody', resendBody), { letter: 'all' }),
    answer: answers(200, 'How many are on their way again.', sentAgain),
    refusals: [404],
  },
  {
    id: 'remove-receiver',
    group: 'Receivers of news',
    method: 'delete',
    path: one,
    title: 'Remove a receiver',
    words: 'What waits for it is dropped.',
    who: keepers,
    answer: nothing('It is removed.'),
    refusals: [404],
  },
];
