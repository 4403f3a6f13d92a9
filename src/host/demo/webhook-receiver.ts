/**
 * A receiver of webhooks on this machine, as a producer's own tools would run one. It checks each
 * signature after Standard Webhooks 1.0.0 with code of its own, so that Gyleward does not check itself.
 */
import { createHmac, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage } from 'node:http';
import * as z from 'zod';

const envelope = z.object({
  specversion: z.literal('1.0'),
  id: z.string(),
  source: z.string(),
  type: z.string(),
});

export type ReceivedNews = Readonly<z.infer<typeof envelope>>;

export type WebhookReceiver = {
  readonly url: string;
  readonly useSecret: (secret: string) => void;
  /** Each piece of news that came with a good signature, once however often it was sent. */
  readonly received: () => readonly ReceivedNews[];
  /** How often each came, by its id; also what was answered as if it had not been taken. */
  readonly deliveries: () => ReadonlyMap<string, number>;
  /** Why requests were refused. */
  readonly refused: () => readonly string[];
  readonly close: () => void;
};

/** Five minutes, as the standard's reference library allows. */
const toleranceSeconds = 300;

const bodyOf = async (request: IncomingMessage): Promise<string> => {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts).toString('utf8');
};

/** Null where the request is signed by the holder of the secret, else why it is not believed. */
const whyNotBelieved = (
  headers: IncomingMessage['headers'],
  body: string,
  secret: string,
): string | null => {
  const { 'webhook-id': id, 'webhook-timestamp': time, 'webhook-signature': signatures } = headers;
  if (!id || !time || !signatures) return 'a webhook header is missing';
  if (Math.abs(Date.now() / 1000 - Number(time)) > toleranceSeconds)
    return `the timestamp ${time} is not near the present`;
  const wanted = createHmac('sha256', Buffer.from(secret.replace(/^whsec_/, ''), 'base64'))
    .update(`${id}.${time}.${body}`)
    .digest();
  const fits = String(signatures)
    .split(' ')
    .filter((signature) => signature.startsWith('v1,'))
    .map((signature) => Buffer.from(signature.slice(3), 'base64'))
    .some((given) => given.length === wanted.length && timingSafeEqual(given, wanted));
  return fits ? null : 'no signature fits';
};

/** What a receiver does with a request: takes it and says so, takes it and says that it failed, or fails. */
export type Mood = 'well' | 'forgetful' | 'ill';

export const startWebhookReceiver = async (
  mood: () => Mood = () => 'well',
): Promise<WebhookReceiver> => {
  const received = new Map<string, ReceivedNews>();
  const bodies = new Map<string, string>();
  const deliveries = new Map<string, number>();
  const refused: string[] = [];
  let secret = '';
  const take = async (request: IncomingMessage): Promise<number> => {
    const body = await bodyOf(request);
    const present = mood();
    if (present === 'ill') return 503;
    const reason = whyNotBelieved(request.headers, body, secret);
    if (reason !== null) {
      refused.push(reason);
      return 401;
    }
    const news = envelope.safeParse(JSON.parse(body));
    if (!news.success || news.data.id !== request.headers['webhook-id']) {
      refused.push('the body is no CloudEvent with the id of its header');
      return 400;
    }
    const { id } = news.data;
    if ((bodies.get(id) ?? body) !== body) {
      refused.push(`the news ${id} came again with another body`);
      return 400;
    }
    bodies.set(id, body);
    received.set(id, news.data);
    deliveries.set(id, (deliveries.get(id) ?? 0) + 1);
    return present === 'forgetful' ? 500 : 204;
  };
  const server = createServer((request, answer) => {
    take(request).then(
      (status) => answer.writeHead(status).end(),
      (error: unknown) => {
        refused.push(String(error));
        answer.writeHead(400).end();
      },
    );
  });
  await new Promise<void>((settle) => server.listen(0, '127.0.0.1', settle));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port to receive on');
  return {
    url: `http://127.0.0.1:${address.port}/gyleward`,
    useSecret: (given) => {
      secret = given;
    },
    received: () => [...received.values()],
    deliveries: () => deliveries,
    refused: () => refused,
    close: () => {
      server.close();
      server.closeAllConnections();
    },
  };
};
