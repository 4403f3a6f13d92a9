/** Talks to a running Gyleward over HTTP, as a keeper's tools, a gateway and people would. */
import * as z from 'zod';
import { alarmKinds, alarmStates, alarmTransitions } from '../../monitoring/alarms/alarm.ts';
import { happeningKinds } from '../../monitoring/watched.ts';
import {
  senmlMediaType,
  senmlPackOf,
  senmlWriteFaultInWords,
  type WritableReading,
} from '../../wire/senml-write.ts';

const alarm = z.object({
  alarm: z.string(),
  kind: z.enum(alarmKinds),
  priority: z.enum(['high', 'medium', 'low']),
  state: z.enum(alarmStates),
  raisedAt: z.number(),
  chattering: z.boolean(),
  evidence: z.string(),
  latest: z.object({ at: z.number(), evidence: z.string() }).nullable(),
  source: z.string().nullable(),
  likelyCauses: z.array(z.string()),
  checkFirst: z.array(z.string()),
  caution: z.string().nullable(),
});

const entry = z.object({
  vessel: z.string(),
  vesselTitle: z.string(),
});

const historyEntry = z.discriminatedUnion('kind', [
  entry.extend({
    kind: z.literal('alarm'),
    transition: z.enum(alarmTransitions),
    at: z.number(),
    by: z.string().nullable(),
    note: z.string().nullable(),
    alarm,
  }),
  entry.extend({
    kind: z.literal('happening'),
    happening: z.object({
      kind: z.enum(happeningKinds),
      at: z.number(),
      words: z.string(),
    }),
  }),
  z.object({
    kind: z.literal('flood'),
    transition: z.enum(['began', 'ended']),
    at: z.number(),
    flood: z.object({
      since: z.number(),
      count: z.number(),
      peak: z.number(),
      vessels: z.array(z.string()),
      kinds: z.partialRecord(z.enum(alarmKinds), z.number()),
    }),
  }),
]);

export type HistoryEntry = Readonly<z.infer<typeof historyEntry>>;

const alarmsAnswer = z.object({
  standing: z.array(z.object({ vessel: z.string(), kind: z.enum(alarmKinds) })),
  history: z.array(historyEntry),
});

const keyAnswer = z.object({ key: z.string() });
const receiverAnswer = z.object({ secret: z.string() });
const receiversAnswer = z.object({ receivers: z.array(z.object({ waiting: z.number() })) });
const countsAnswer = z.object({
  stored: z.number(),
  repeated: z.number(),
  corrected: z.number(),
});

type Counts = Readonly<z.infer<typeof countsAnswer>>;

class Refused extends Error {
  readonly status: number;

  constructor(status: number, asked: string, text: string) {
    super(`${asked} was answered ${status}: ${text}`);
    this.status = status;
  }
}

export type CellarClient = {
  readonly create: (noun: 'vessels' | 'batches', body: unknown) => Promise<void>;
  /** Writes down what was done to a batch. */
  readonly makeKey: (
    title: string,
    role: 'sensor' | 'operator',
    vessels: readonly string[] | null,
  ) => Promise<string>;
  /** The secret with which what it receives will be signed. */
  readonly addReceiver: (title: string, url: string) => Promise<string>;
  /** Pieces of news that have not reached their receivers. */
  readonly waitingNews: () => Promise<number>;
  readonly sendReadings: (readings: readonly WritableReading[]) => Promise<Counts>;
  readonly alarms: () => Promise<Readonly<z.infer<typeof alarmsAnswer>>>;
  /** False where the alarm has changed meanwhile and asks for no acknowledgement any more. */
  readonly acknowledge: (vessel: string, alarm: string, note: string) => Promise<boolean>;
};

export const cellarClient = (url: string, cellar: string, key: string): CellarClient => {
  const at = `${url}/v1/cellars/${cellar}`;
  const ask = async (
    method: 'GET' | 'POST',
    path: string,
    content: { readonly type: string; readonly body: string } | null,
  ): Promise<unknown> => {
    const answer = await fetch(`${at}/${path}`, {
      method,
      headers: {
        authorization: `Bearer ${key}`,
        ...(content === null ? {} : { 'content-type': content.type }),
      },
      ...(content === null ? {} : { body: content.body }),
    });
    const text = await answer.text();
    if (!answer.ok) throw new Refused(answer.status, `${method} ${path}`, text);
    return text === '' ? null : JSON.parse(text);
  };
  const get = (path: string) => ask('GET', path, null);
  const post = (path: string, body: unknown) =>
    ask('POST', path, { type: 'application/json', body: JSON.stringify(body) });
  return {
    create: async (noun, body) => {
      await post(noun, body);
    },
    makeKey: async (title, role, vessels) =>
      keyAnswer.parse(await post('keys', { title, role, vessels })).key,
    addReceiver: async (title, receiverUrl) =>
      receiverAnswer.parse(await post('receivers', { title, url: receiverUrl })).secret,
    waitingNews: async () =>
      receiversAnswer
        .parse(await get('receivers'))
        .receivers.reduce((sum, { waiting }) => sum + waiting, 0),
    sendReadings: async (readings) => {
      const pack = senmlPackOf(readings, 'with-base-fields');
      if (!pack.ok) throw new Error(senmlWriteFaultInWords(pack.fault));
      const content = { type: senmlMediaType, body: JSON.stringify(pack.value) };
      return countsAnswer.parse(await ask('POST', 'readings', content));
    },
    alarms: async () => alarmsAnswer.parse(await get('alarms')),
    acknowledge: async (vessel, name, note) => {
      try {
        await post(`vessels/${vessel}/alarms/${encodeURIComponent(name)}/acknowledge`, { note });
        return true;
      } catch (error) {
        if (error instanceof Refused && error.status === 409) return false;
        throw error;
      }
    },
  };
};
