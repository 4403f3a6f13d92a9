/** What is answered of receivers and of what was given up. Pure data. */
import * as z from 'zod';
import { type Duty, priorities } from '../../../monitoring/alarms/duty.ts';
import { weekdays } from '../../../monitoring/alarms/duty-hours.ts';
import type { DeadLetter } from '../../../storage/dead-letters.ts';
import type { ReceiverListing } from '../../../storage/receiver-table.ts';
import { routeKinds } from '../../../storage/route.ts';
import type { MadeReceiver, ReplacedSecret } from '../../make-receiver.ts';
import { answerNamed } from '../schema-book.ts';

const duty = answerNamed<Duty>()(
  'Duty',
  z.strictObject({
    priorities: z.array(z.enum(priorities)).readonly(),
    vessels: z.array(z.string()).readonly().nullable(),
    hours: z
      .strictObject({
        zone: z.string(),
        from: z.string(),
        to: z.string(),
        days: z.array(z.enum(weekdays)).readonly(),
      })
      .nullable(),
    afterMinutes: z.number(),
  }),
);

const receiverListing = answerNamed<ReceiverListing>()(
  'ReceiverListing',
  z.strictObject({
    id: z.string(),
    title: z.string(),
    kind: z.enum(routeKinds),
    url: z.string(),
    duty,
    createdAt: z.number(),
    waiting: z.number(),
    givenUp: z.number(),
    lastOutcome: z.string().nullable(),
    formerSecretUntil: z.number().nullable(),
    heartbeatMinutes: z.number().nullable(),
  }),
);

export const receiverList = answerNamed<{ readonly receivers: readonly ReceiverListing[] }>()(
  'ReceiverList',
  z.strictObject({ receivers: z.array(receiverListing).readonly() }),
);

export const madeReceiver = answerNamed<MadeReceiver>()(
  'MadeReceiver',
  z.strictObject({
    id: z.string(),
    title: z.string(),
    url: z.string(),
    secret: z.string().nullable(),
  }),
);

export const replacedSecret = answerNamed<ReplacedSecret>()(
  'ReplacedSecret',
  z.strictObject({ secret: z.string(), formerUntil: z.number() }),
);

const deadLetter = answerNamed<DeadLetter>()(
  'DeadLetter',
  z.strictObject({
    id: z.number(),
    headline: z.string(),
    queuedAt: z.number(),
    givenUpAt: z.number(),
    tries: z.number(),
    lastOutcome: z.string().nullable(),
  }),
);

export const deadLetterList = answerNamed<{ readonly deadLetters: readonly DeadLetter[] }>()(
  'DeadLetterList',
  z.strictObject({ deadLetters: z.array(deadLetter).readonly() }),
);

export const sentAgain = answerNamed<{ readonly sentAgain: number }>()(
  'SentAgain',
  z.strictObject({ sentAgain: z.number() }),
);
