/**
 * One try at one delivery: the envelope, the signature, the request, and what came of it in words.
 * `fetch` is an argument so that tests can stand in for the network.
 */
import { happeningText, newsText, plainText } from '../monitoring/alarm-text.ts';
import { floodText } from '../monitoring/flood-text.ts';
import { restoredChange } from '../monitoring/restored-alarm.ts';
import { cloudEventFaultInWords, cloudEventMediaType, cloudEventOf } from '../wire/cloud-event.ts';
import { signWebhook, webhookFaultInWords } from '../wire/webhook-signature.ts';
import type { Delivery } from './delivery-table.ts';
import { isOfVessel, type News } from './news.ts';

export type Outcome =
  | { readonly kind: 'delivered'; readonly words: string }
  | { readonly kind: 'failed'; readonly words: string; readonly retryAfterSeconds: number | null };

/** Longest wait for an answer: chosen by us; Standard Webhooks recommends 15 to 30 s. */
const answerMilliseconds = 15_000;

const eventType = ({ body }: News): string =>
  body.kind === 'happening'
    ? `gyleward.happening.${body.happening.kind}`
    : `gyleward.${body.kind}.${body.change.transition}`;

const eventTime = ({ body }: News): number =>
  body.kind === 'happening' ? body.happening.at : body.change.at;

/** The same words as on the page and in the terminal. */
const textOf = (news: News): string =>
  plainText(
    isOfVessel(news)
      ? news.body.kind === 'alarm'
        ? newsText(news.vesselTitle, restoredChange(news.body.change))
        : happeningText(news.vesselTitle, news.body.happening)
      : floodText(news.cellarTitle, news.body.change),
  );

const about = (news: News): Readonly<Record<string, string | null>> => {
  if (!isOfVessel(news)) return { cellarTitle: news.cellarTitle };
  const { vessel, vesselTitle, batch, batchTitle } = news;
  return { vessel, vesselTitle, batch, batchTitle };
};

/** Seconds asked for by Retry-After; null where it is absent or no whole number. */
const retryAfter = (answer: Response): number | null => {
  const header = answer.headers.get('retry-after');
  return header !== null && /^\d{1,6}$/.test(header) ? Number(header) : null;
};

const envelopeOf = (news: News): string => {
  const event = cloudEventOf({
    id: news.id,
    source: `/v1/cellars/${news.cellar}${isOfVessel(news) ? `/vessels/${news.vessel}` : ''}`,
    type: eventType(news),
    timeSeconds: eventTime(news),
    subject: isOfVessel(news) ? news.batch : null,
    data: {
      cellar: news.cellar,
      ...about(news),
      ...news.body,
      text: textOf(news),
    },
  });
  if (!event.ok) throw new Error(cloudEventFaultInWords(event.fault));
  return JSON.stringify(event.value);
};

/** `timestamp` is the real Unix time of the try, which the signature covers. */
export const deliver = async (
  delivery: Delivery,
  timestamp: number,
  send: typeof fetch,
): Promise<Outcome> => {
  const body = envelopeOf(delivery.news);
  const signed = await signWebhook(
    { id: delivery.news.id, timestampSeconds: Math.floor(timestamp), body },
    [delivery.secret],
  );
  if (!signed.ok) throw new Error(webhookFaultInWords(signed.fault));
  try {
    const answer = await send(delivery.receiver.url, {
      method: 'POST',
      headers: { 'content-type': cloudEventMediaType, ...signed.value },
      body,
      redirect: 'manual',
      signal: AbortSignal.timeout(answerMilliseconds),
    });
    await answer.body?.cancel();
    return answer.ok
      ? { kind: 'delivered', words: `answered ${answer.status}` }
      : {
          kind: 'failed',
          words: `answered ${answer.status}`,
          retryAfterSeconds: retryAfter(answer),
        };
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return { kind: 'failed', words: `no answer: ${reason.slice(0, 200)}`, retryAfterSeconds: null };
  }
};
