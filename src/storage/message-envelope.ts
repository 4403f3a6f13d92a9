/** A message as a CloudEvent, for receivers that are programs. Throws only on what is a bug of ours. */
import { plainText } from '../monitoring/alarms/alarm-text.ts';
import { cloudEventFaultInWords, cloudEventOf } from '../wire/cloud-event.ts';
import { messageText } from './message-text.ts';
import { isOfVessel, type Message } from './news.ts';

const typeOf = ({ body }: Message): string => {
  switch (body.kind) {
    case 'alarm':
    case 'flood':
      return `gyleward.${body.kind}.${body.change.transition}`;
    case 'happening':
      return `gyleward.happening.${body.happening.kind}`;
    case 'unanswered':
      return 'gyleward.alarm.unanswered';
    case 'test':
    case 'heartbeat':
      return `gyleward.${body.kind}`;
  }
};

const momentOf = ({ body }: Message): number => {
  switch (body.kind) {
    case 'alarm':
    case 'flood':
      return body.change.at;
    case 'happening':
      return body.happening.at;
    case 'unanswered':
    case 'test':
    case 'heartbeat':
      return body.at;
  }
};

const about = (message: Message): Readonly<Record<string, string | null>> => {
  if (!isOfVessel(message)) return { cellarTitle: message.cellarTitle };
  const { vessel, vesselTitle, batch, batchTitle } = message;
  return { vessel, vesselTitle, batch, batchTitle };
};

/** The JSON text that is sent and signed. */
export const messageEnvelope = (message: Message, link: string | null): string => {
  const event = cloudEventOf({
    id: message.id,
    source: `/v1/cellars/${message.cellar}${isOfVessel(message) ? `/vessels/${message.vessel}` : ''}`,
    type: typeOf(message),
    timeSeconds: momentOf(message),
    subject: isOfVessel(message) ? message.batch : null,
    data: {
      cellar: message.cellar,
      ...about(message),
      ...message.body,
      text: plainText(messageText(message, link)),
      ...(link === null ? {} : { acknowledge: link }),
    },
  });
  if (!event.ok) throw new Error(cloudEventFaultInWords(event.fault));
  return JSON.stringify(event.value);
};
