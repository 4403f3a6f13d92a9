/** A message to a mail relay of the operator's choice, by the template that a keeper wrote. */
import { plainText } from '../monitoring/alarms/alarm-text.ts';
import { priorityNames } from '../monitoring/alarms/alarm-words.ts';
import { fillTemplate } from '../wire/message-template.ts';
import type { Sending } from './deliver.ts';
import { messageText } from './message-text.ts';
import { alarmOf, isOfVessel } from './news.ts';
import type { RelayRoute } from './route.ts';
import { type Outcome, tryRequest } from './try-request.ts';

export const sendRelay = async (
  { url, template }: RelayRoute,
  { message, link, send }: Sending,
): Promise<Outcome> => {
  const text = messageText(message, link);
  const alarm = alarmOf(message);
  const request = fillTemplate(template, {
    id: message.id,
    headline: text.headline,
    text: plainText(text),
    cellar: message.cellar,
    vessel: isOfVessel(message) ? message.vesselTitle : '',
    priority: alarm === null ? '' : priorityNames[alarm.priority],
    link: link ?? '',
  });
  return tryRequest(url, request, send);
};
