/**
 * What the page's scripts promise, in a real Chromium: a refresh loses no typed text and no focus, a
 * dead network is said, a fresh alarm is announced, an enlarged chart stays enlarged, a local moment
 * is sent as UTC; and at 320 px nothing runs over the edge and every target is large (WCAG 2.2 2.5.8
 * asks 24 px; the house asks 44 for wet hands). Pages come from a small server under a strict policy.
 */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { buildClient } from '../../src/host/build.ts';
import type { Alarm } from '../../src/monitoring/alarms/alarm.ts';
import {
  now,
  sampleAlarm,
  sampleBatch,
  sampleChart,
  sampleStatus,
  sampleVessel,
  visit,
} from '../host/page-samples.ts';
import { openBrowser } from './browsing.ts';

const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'";

/** What the server holds at the moment; a test changes it between two refreshes. */
type Held = {
  now: number;
  alarms: readonly Alarm[];
  evidence: string;
  signedOut: boolean;
  dead: boolean;
};
let held: Held;
let posted: string[] = [];
let server: Server;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let trouble: string[] = [];

const stall = sampleAlarm();
const over = sampleAlarm({
  alarm: 'over-pressure',
  kind: 'over-pressure',
  priority: 'high',
  caution: 'never open a vessel under pressure',
});

const answer = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
  const { cellarPage } = await import('../../src/web/pages/cellar.tsx');
  const { vesselPage } = await import('../../src/web/pages/vessel.tsx');
  const { setUpPage } = await import('../../src/web/pages/set-up.tsx');
  const { assetResponse } = await import('../../src/web/assets.ts');
  const path = new URL(request.url ?? '/', 'http://page.test').pathname;
  response.setHeader('content-security-policy', policy);
  if (path.startsWith('/assets/')) {
    const asset = assetResponse(path.replace('/assets/', ''), null);
    asset?.headers.forEach((value, name) => {
      response.setHeader(name, value);
    });
    response.statusCode = asset?.status ?? 404;
    response.end(Buffer.from((await asset?.arrayBuffer()) ?? new ArrayBuffer(0)));
    return;
  }
  if (held.dead) {
    request.socket.destroy();
    return;
  }
  if (request.method === 'POST') {
    const parts: Buffer[] = [];
    for await (const part of request) parts.push(part as Buffer);
    posted.push(Buffer.concat(parts).toString());
    response.end('taken');
    return;
  }
  if (path.endsWith('/chart.json')) {
    response.setHeader('content-type', 'application/json');
    response.end(JSON.stringify(sampleChart()));
    return;
  }
  if (held.signedOut) {
    response.statusCode = 401;
    response.end();
    return;
  }
  const row = {
    vessel: sampleVessel(),
    batch: sampleBatch(),
    status: sampleStatus({
      alarms: held.alarms.map((alarm) => ({ ...alarm, evidence: held.evidence })),
    }),
  };
  const standingAlarms = held.alarms.map((alarm) => ({ ...alarm, vessel: 'north' }));
  const made = path.endsWith('/set-up')
    ? setUpPage({ ...visit, vessels: [row.vessel], batches: [], now, keys: [], receivers: [] })
    : path.includes('/vessels/')
      ? vesselPage({ ...visit, ...row, changes: [], happenings: [], now: held.now })
      : cellarPage({ ...visit, rows: [row], standingAlarms, now: held.now });
  const body = String(await made);
  const etag = `"${Buffer.from(body).length}-${held.now}-${held.evidence}"`;
  response.setHeader('etag', etag);
  response.setHeader('content-type', 'text/html; charset=utf-8');
  if (request.headers['if-none-match'] === etag) response.statusCode = 304;
  response.end(response.statusCode === 304 ? undefined : body);
};

type Target = { readonly target: string; readonly width: number; readonly height: number };

/** Scripts run in the page are text: the host's own types know no document. */
const askAgain = "dispatchEvent(new Event('online'))";
const drawnTwice =
  'new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))';
const openEverything =
  "for (const details of document.querySelectorAll('details')) details.open = true";
const targetSizes = `[...document.querySelectorAll(
  'button, .button, summary, select, textarea, .pages a, input:not([type=hidden])')]
  .map((target) => [target, (target.closest('label') ?? target).getBoundingClientRect()])
  .map(([target, { width, height }]) => ({ target: target.outerHTML.slice(0, 80), width, height }))`;

const pictures = (): Promise<readonly string[]> =>
  page.evaluate("[...document.querySelectorAll('canvas')].map((canvas) => canvas.toDataURL())");

const address = (path = ''): string =>
  `http://127.0.0.1:${(server.address() as AddressInfo).port}/cellars/skerrow${path}`;

/** The page asks again at once when the browser says that it is online, and tells when it has. */
const refresh = async (): Promise<void> => {
  const answered = page.waitForResponse(
    (response) => !response.url().includes('/assets/') && !response.url().includes('chart.json'),
  );
  await page.evaluate(askAgain);
  await answered;
};

beforeAll(async () => {
  await buildClient();
  server = createServer((request, response) => void answer(request, response));
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  browser = await openBrowser();
}, 120_000);

afterAll(async () => {
  await browser?.close();
  server?.close();
});

beforeEach(async () => {
  held = { now, alarms: [stall], evidence: 'fell 0.3 points', signedOut: false, dead: false };
  posted = [];
  trouble = [];
  context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    timezoneId: 'Asia/Kathmandu',
    locale: 'en-GB',
    hasTouch: true,
  });
  page = await context.newPage();
  page.on('pageerror', (error) => trouble.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !/Failed to load resource/.test(message.text()))
      trouble.push(message.text());
  });
});

afterEach(async () => {
  await context?.close();
  expect(trouble).toEqual([]);
});

test('a refresh brings the news and leaves the note being typed, its focus and its cursor alone', async () => {
  await page.goto(address('/vessels/north'));
  const note = page.getByRole('textbox', { name: 'Note, if you like' });
  await note.fill('roused it');
  await note.press('ArrowLeft');
  held.evidence = 'fell 0.1 points';
  held.alarms = [stall, over];
  await refresh();
  await page.getByText('fell 0.1 points').first().waitFor();
  expect(await page.getByText('fell 0.3 points').count()).toBe(0);
  expect(await page.locator('.alarm-card').count()).toBe(2);
  await page.keyboard.type('X');
  const notes = page.locator('textarea[id^="alarm-"]:visible');
  expect(await notes.count()).toBe(2);
  expect(await notes.first().inputValue()).toBe('');
  expect(await notes.last().inputValue()).toBe('roused iXt');
  expect(await page.locator('textarea:focus').inputValue()).toBe('roused iXt');
}, 60_000);

test('a note stays, marked and still to be sent, when its alarm has left the page', async () => {
  await page.goto(address('/vessels/north'));
  await page.getByRole('textbox', { name: 'Note, if you like' }).fill('vented by hand');
  held.alarms = [];
  await refresh();
  await page.getByText('Your unsent note is kept here').waitFor();
  expect(await page.getByRole('textbox', { name: 'Note, if you like' }).inputValue()).toBe(
    'vented by hand',
  );
  await page.getByRole('button', { name: /Acknowledge/ }).click();
  await page.getByText('taken').waitFor();
  expect(Object.fromEntries(new URLSearchParams(posted[0]))).toEqual({
    note: 'vented by hand',
  });
}, 60_000);

test('an alarm without typed text leaves the page when it no longer stands', async () => {
  await page.goto(address());
  await page.getByText('Fermentation has stalled').waitFor();
  held.alarms = [];
  await refresh();
  await page.getByRole('heading', { name: 'Nothing waits for you.' }).waitFor();
  expect(await page.getByText('Fermentation has stalled').count()).toBe(0);
}, 60_000);

test('an alarm that arrives is announced once, with its vessel', async () => {
  await page.goto(address());
  const alert = page.locator('#arrivals');
  await refresh();
  expect(await alert.textContent()).toBe('');
  held.alarms = [over, stall];
  await refresh();
  await page.getByText('An alarm was raised: Over-pressure, North fermenter.').waitFor();
  await page.getByRole('button', { name: 'Seen' }).click();
  held.evidence = 'fell 0.2 points';
  await refresh();
  await page.getByText('fell 0.2 points').first().waitFor();
  expect(await alert.textContent()).toBe('');
}, 60_000);

test('a dead network is said, with since when; its return too; and being signed out', async () => {
  await page.goto(address());
  await page.locator('time[data-show="age"]').first().waitFor();
  held.dead = true;
  await page.evaluate(askAgain);
  await page.getByText('No answer from Gyleward since').waitFor();
  held.dead = false;
  await refresh();
  await page.getByText('The connection is back.').waitFor();
  held.signedOut = true;
  await refresh();
  await page.getByRole('link', { name: 'Sign in again' }).waitFor();
}, 60_000);

test('times are local and ages follow the cellar, not the clock of the phone', async () => {
  await page.goto(address());
  const asOf = page.locator('.as-of time');
  // Kathmandu is 5 h 45 min ahead of UTC all year.
  const local = new Date((now + 20_700) * 1000).toISOString().slice(11, 16);
  await expect.poll(() => asOf.textContent()).toContain(local);
  expect(await asOf.getAttribute('datetime')).toBe(
    `${new Date(now * 1000).toISOString().slice(0, 19)}Z`,
  );
  expect(await page.locator('.figure-label time').first().textContent()).toBe('4\u00a0min ago');
}, 60_000);

test('the chart is drawn, enlarges alike in all panels, keeps that over a refresh, and has its table', async () => {
  await page.setViewportSize({ width: 1280, height: 1400 });
  await page.goto(address('/vessels/north'));
  await page.locator('canvas').nth(1).waitFor();
  const whole = await pictures();
  expect(whole).toHaveLength(2);
  const box = await page.locator('.u-over').first().boundingBox();
  if (box === null) throw new Error('the chart has no place');
  await page.mouse.move(box.x + box.width * 0.3, box.y + 60);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.6, box.y + 60, { steps: 8 });
  expect(await page.locator('.readout').first().textContent()).toMatch(/1\.0\d\d\d to 1\.0\d\d\d/);
  await page.mouse.up();
  await expect
    .poll(async () => (await pictures()).filter((one) => !whole.includes(one)).length)
    .toBe(2);
  await page.mouse.move(2, 2);
  const enlarged = await pictures();
  held.evidence = 'fell 0.2 points';
  const charted = page.waitForResponse((response) => response.url().includes('chart.json'));
  await refresh();
  await charted;
  await page.evaluate(drawnTwice);
  expect(await pictures()).toEqual(enlarged);
  await page.getByRole('button', { name: 'From the start' }).click();
  await expect.poll(pictures).toEqual(whole);
  expect(await page.locator('.marks li').textContent()).toMatch(
    /Temperature out of its band\. It is 23\.1 °C where the band ends at 22\.0 °C\.$/,
  );
  await page.getByText('The same as a table').click();
  expect(await page.locator('.chart-table tbody tr').count()).toBeGreaterThan(20);
  expect(await page.locator('.chart-table thead th').allTextContents()).toEqual([
    'Time',
    'Gravity, SG',
    'Expected',
    'Temperature, °C',
  ]);
  expect(await page.locator('.panels').getAttribute('aria-label')).toContain('Gravity (SG): 1.04');
}, 60_000);

test('a touch on the chart reads a moment', async () => {
  await page.goto(address('/vessels/north'));
  const over = page.locator('.u-over').first();
  await over.waitFor();
  await over.tap({ position: { x: 120, y: 80 } });
  await expect.poll(() => page.locator('.readout').first().textContent()).toMatch(/1\.0\d\d\d/);
}, 60_000);

test('a local moment in a form is sent as UTC', async () => {
  await page.goto(address('/set-up'));
  await page.getByText('Start a batch', { exact: true }).first().click();
  await page.locator('#batch-title').fill('Elder');
  await page.locator('#batch-batch').fill('elder');
  await page.locator('#batch-startedAt').fill('2026-11-25T12:00');
  await page.getByRole('button', { name: 'Start a batch' }).click();
  await page.getByText('taken').waitFor();
  expect(new URLSearchParams(posted[0]).get('startedAt')).toBe('2026-11-25T06:15Z');
}, 60_000);

test.each(['', '/vessels/north', '/set-up'])(
  'at 320 px nothing of page "%s" runs over the edge and every target is at least 44 px',
  async (path) => {
    held.alarms = [stall, over];
    await page.setViewportSize({ width: 320, height: 700 });
    await page.goto(address(path), { waitUntil: 'networkidle' });
    await page.evaluate(openEverything);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(320);
    const targets = await page.evaluate<readonly Target[]>(targetSizes);
    expect(targets.length).toBeGreaterThan(3);
    expect(targets.filter(({ width, height }) => width < 44 || height < 44)).toEqual([]);
  },
  60_000,
);
