/** The demo's own judges: a verdict that can fail, and a receiver that is not easily fooled. */
import { Webhook } from 'standardwebhooks';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { HistoryEntry } from '../../src/host/demo/cellar-client.ts';
import { type Outcome, verdict } from '../../src/host/demo/verdict.ts';
import {
  startWebhookReceiver,
  type WebhookReceiver,
} from '../../src/host/demo/webhook-receiver.ts';
import { type Expected, expected } from '../../src/host/scenario/expected.ts';
import type { AlarmTransition } from '../../src/monitoring/alarms/alarm.ts';

const alarmEntry = (
  vessel: string,
  kind: Extract<Expected, { kind: 'alarm' }>['alarm'],
  transition: AlarmTransition,
): HistoryEntry => ({
  kind: 'alarm',
  vessel,
  vesselTitle: vessel,
  transition,
  at: 0,
  by: null,
  note: null,
  alarm: {
    alarm: kind,
    kind,
    priority: 'low',
    state: 'unacknowledged',
    raisedAt: 0,
    chattering: false,
    evidence: '',
    latest: null,
    source: null,
    likelyCauses: [],
    checkFirst: [],
    caution: null,
  },
});

const told: readonly HistoryEntry[] = expected.flatMap((one): readonly HistoryEntry[] =>
  one.kind === 'happening'
    ? [
        {
          kind: 'happening',
          vessel: one.vessel,
          vesselTitle: one.vessel,
          happening: { kind: one.happening, at: 0, words: '' },
        },
      ]
    : [
        alarmEntry(one.vessel, one.alarm, 'raised'),
        alarmEntry(one.vessel, one.alarm, 'acknowledged'),
        ...(one.returns ? [alarmEntry(one.vessel, one.alarm, 'returned')] : []),
      ],
);

const outcomeOf = (history: readonly HistoryEntry[]): Outcome => ({
  history,
  received: history.map((entry, index) => ({
    specversion: '1.0',
    id: `news-${index}`,
    source:
      entry.kind === 'flood'
        ? '/v1/cellars/skerrow-yard'
        : `/v1/cellars/skerrow-yard/vessels/${entry.vessel}`,
    type:
      entry.kind === 'happening'
        ? `gyleward.happening.${entry.happening.kind}`
        : `gyleward.${entry.kind}.${entry.transition}`,
  })),
  refused: [],
  highestShareOfRating: 0.9,
  sentTwice: 15,
  countedRepeated: 15,
});

const holds = (outcome: Outcome): boolean =>
  verdict(expected, outcome).every((check) => check.holds);

test('what had to come, and nothing else, is a pass', () => {
  expect(told.length).toBeGreaterThan(expected.length);
  expect(holds(outcomeOf(told))).toBe(true);
});

test('any single thing missing fails, unless it is an acknowledgement', () => {
  let compared = 0;
  for (const left of told) {
    if (left.kind === 'alarm' && left.transition === 'acknowledged') continue;
    expect(holds(outcomeOf(told.filter((entry) => entry !== left)))).toBe(false);
    compared += 1;
  }
  expect(compared).toBe(9);
});

test.each([
  ['an alarm raised twice', alarmEntry('keg-7', 'over-pressure-ahead', 'raised')],
  ['an alarm on a quiet vessel', alarmEntry('barrel-3', 'temperature', 'raised')],
  ['another kind on a troubled vessel', alarmEntry('keg-7', 'over-pressure', 'raised')],
  ['a stall that returns by itself', alarmEntry('fermenter-2', 'stall', 'returned')],
])('%s fails', (_, extra) => {
  expect(holds(outcomeOf([...told, extra]))).toBe(false);
});

test('news that did not arrive, a refused request, a lost repeat and a burst keg fail', () => {
  const good = outcomeOf(told);
  expect(holds({ ...good, received: good.received.slice(1) })).toBe(false);
  expect(holds({ ...good, refused: ['no signature fits'] })).toBe(false);
  expect(holds({ ...good, countedRepeated: 14 })).toBe(false);
  expect(holds({ ...good, sentTwice: 0, countedRepeated: 0 })).toBe(false);
  expect(holds({ ...good, highestShareOfRating: 1 })).toBe(false);
});

const secret = `whsec_${Buffer.from('0123456789abcdef0123456789abcdef').toString('base64')}`;
const news = JSON.stringify({ specversion: '1.0', id: 'news-1', source: '/here', type: 'told' });
let receiver: WebhookReceiver;

beforeAll(async () => {
  receiver = await startWebhookReceiver();
  receiver.useSecret(secret);
});
afterAll(() => receiver.close());

const send = (signedWith: string, id: string, at: Date, body: string, signed = body) =>
  fetch(receiver.url, {
    method: 'POST',
    headers: {
      'webhook-id': id,
      'webhook-timestamp': String(Math.floor(at.getTime() / 1000)),
      // The standard's reference library signs, so that the receiver is held against another's work.
      'webhook-signature': new Webhook(signedWith).sign(id, at, signed),
    },
    body,
  });

test('the receiver believes the reference library and counts a repeat once', async () => {
  expect((await send(secret, 'news-1', new Date(), news)).status).toBe(204);
  expect((await send(secret, 'news-1', new Date(), news)).status).toBe(204);
  expect(receiver.received()).toHaveLength(1);
  expect(receiver.refused()).toEqual([]);
});

test('the receiver refuses another secret, another body, an old timestamp and a missing header', async () => {
  const other = `whsec_${Buffer.from('another secret of 32 characters.').toString('base64')}`;
  const now = new Date();
  const old = new Date(now.getTime() - 3_600_000);
  expect((await send(other, 'news-2', now, news)).status).toBe(401);
  expect((await send(secret, 'news-2', now, news, `${news} `)).status).toBe(401);
  expect((await send(secret, 'news-2', old, news)).status).toBe(401);
  expect((await fetch(receiver.url, { method: 'POST', body: news })).status).toBe(401);
  expect((await send(secret, 'news-2', now, news)).status).toBe(400);
  expect(receiver.received()).toHaveLength(1);
  expect(receiver.refused()).toHaveLength(5);
});
