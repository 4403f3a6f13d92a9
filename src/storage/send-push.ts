/**
 * A message to a browser that has subscribed: encrypted after RFC 8291, signed for the push service after
 * RFC 8292, sent after RFC 8030. A subscription that is gone (404 or 410), or whose key opens the cellar no
 * longer, is said to be gone, and the caller drops it.
 */
import { plainText } from '../monitoring/alarms/alarm-text.ts';
import { base64urlFromBytes } from '../wire/base64url.ts';
import { encryptPush, longestPushBytes, pushFaultInWords } from '../wire/push-encryption.ts';
import { vapidAuthorization } from '../wire/vapid.ts';
import type { Sending } from './deliver.ts';
import { messageText } from './message-text.ts';
import { alarmOf, isOfVessel, type Message, topicOf } from './news.ts';
import type { PushRoute } from './route.ts';
import { type Outcome, tryRequest } from './try-request.ts';

/** How long a push service keeps a message for a phone that is off. A day: chosen by us. */
const keepSeconds = 86_400;
/** RFC 8292 section 2 allows a day; half of one, chosen by us, bears clocks that differ. */
const tokenSeconds = 43_200;
/**
 * A notification shows a few lines; the page has the rest. Chosen by us: what was seen and its caution fit, and a note
 * that JSON must escape throughout still leaves the payload within its bound.
 */
const shownCharacters = 800;

const urgencies = { high: 'high', medium: 'normal', low: 'low' } as const;

/** RFC 8030 section 5.4: 32 characters at most; what is newer of one alarm replaces what waits. */
const topicName = async (message: Message): Promise<string> => {
  const digest = await crypto.subtle.digest(
    'SHA-256',
    new TextEncoder().encode(`${message.cellar}/${topicOf(message)}`),
  );
  return base64urlFromBytes(new Uint8Array(digest).slice(0, 24));
};

const payloadOf = (message: Message, link: string | null): Uint8Array => {
  const { headline, lines } = messageText(message);
  const place = `/cellars/${message.cellar}`;
  const written = new TextEncoder().encode(
    JSON.stringify({
      id: message.id,
      title: headline.slice(0, 200),
      body: plainText({ headline: '', lines }).trim().slice(0, shownCharacters),
      open: link ?? (isOfVessel(message) ? `${place}/vessels/${message.vessel}` : place),
      tag: topicOf(message),
    }),
  );
  if (written.length > longestPushBytes) throw new Error('the push payload is too long');
  return written;
};

export const sendPush = async (
  { url, p256dh, auth, contact, isWanted }: PushRoute,
  { message, link, timestamp, vapid, send }: Sending,
): Promise<Outcome> => {
  if (!isWanted) return { kind: 'gone', words: 'its key opens this cellar no longer' };
  if (vapid === null) throw new Error('the cellar has no keys for push');
  const sender = (await crypto.subtle.generateKey({ name: 'ECDH', namedCurve: 'P-256' }, true, [
    'deriveBits',
  ])) as CryptoKeyPair;
  const salt = crypto.getRandomValues(new Uint8Array(16));
  const body = await encryptPush(payloadOf(message, link), { p256dh, auth }, sender, salt);
  if (!body.ok) throw new Error(pushFaultInWords(body.fault));
  const alarm = alarmOf(message);
  const headers = {
    authorization: await vapidAuthorization(
      {
        aud: new URL(url).origin,
        exp: Math.floor(timestamp) + tokenSeconds,
        ...(contact === null ? {} : { sub: contact }),
      },
      vapid,
    ),
    'content-encoding': 'aes128gcm',
    'content-type': 'application/octet-stream',
    ttl: String(keepSeconds),
    urgency: alarm === null ? 'normal' : urgencies[alarm.priority],
    topic: await topicName(message),
  };
  const outcome = await tryRequest(url, { method: 'POST', headers, body: body.value }, send);
  return outcome.status === 404 || outcome.status === 410
    ? { kind: 'gone', words: outcome.words }
    : outcome;
};
