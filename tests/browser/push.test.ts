/**
 * A phone is told of alarms, in a real Chromium: the permission is asked for at a tap, the subscription reaches
 * the server, and the service worker shows what a push brings. The vendor's push service is not reached from
 * here: subscribing is stood in for, and the push is handed to the service worker by the browser's own tools.
 * The page of a receiver is looked at on the way.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { cellarClient } from '../../src/host/demo/cellar-client.ts';
import { openBrowser, signInWith, type ThrowawayHost, throwawayHost } from './browsing.ts';

let host: ThrowawayHost;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let key: string;
let address: string;

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve('axe-core/axe.min.js'),
  'utf8',
);

/** Nothing over the edge, nothing that axe minds. */
const expectSound = async (): Promise<void> => {
  expect(await page.evaluate<number>('document.documentElement.scrollWidth')).toBeLessThanOrEqual(
    320,
  );
  await page.evaluate(axeSource);
  const findings = await page.evaluate<readonly string[]>(
    `axe.run().then(({ violations }) => violations.map(({ id, help }) => id + ': ' + help))`,
  );
  expect(findings).toEqual([]);
};

/** Stands in for the browser vendor's push service: a subscription with a real key, at an address of nobody. */
const standIn = `
  PushManager.prototype.subscribe = async function (options) {
    globalThis.asked = options;
    const pair = await crypto.subtle.generateKey({ name: 'ECDH', namedCurve: 'P-256' }, true, ['deriveBits']);
    const text = (bytes) => btoa(String.fromCharCode(...bytes)).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
    const p256dh = text(new Uint8Array(await crypto.subtle.exportKey('raw', pair.publicKey)));
    const auth = text(crypto.getRandomValues(new Uint8Array(16)));
    return { toJSON: () => ({ endpoint: 'http://127.0.0.1:9/push', keys: { p256dh, auth } }) };
  };`;

beforeAll(async () => {
  host = await throwawayHost(() => 1_900_000_000);
  const founded = await fetch(`${host.url}/v1/cellars`, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${host.operatorSecret}`,
      'content-type': 'application/json',
    },
    body: JSON.stringify({ cellar: 'skerrow-yard', title: 'Skerrow Yard' }),
  });
  key = ((await founded.json()) as { key: string }).key;
  await cellarClient(host.url, 'skerrow-yard', key).create('vessels', {
    vessel: 'keg-7',
    title: 'Keg 7',
    kind: 'keg',
    volumeLitre: 20,
    headspaceLitre: 1,
    ratedGaugePressurePascal: 300_000,
  });
  browser = await openBrowser();
  context = await browser.newContext({ viewport: { width: 320, height: 700 } });
  await context.grantPermissions(['notifications'], { origin: host.url });
  await context.addInitScript(standIn);
  page = await context.newPage();
  address = `${host.url}/cellars/skerrow-yard`;
  await signInWith(page, host.url, key);
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await host?.dispose();
});

const listed = async (): Promise<readonly { id: string; kind: string }[]> => {
  const answer = await fetch(`${host.url}/v1/cellars/skerrow-yard/receivers`, {
    headers: { authorization: `Bearer ${key}` },
  });
  return ((await answer.json()) as { receivers: { id: string; kind: string }[] }).receivers;
};

test('at a tap the browser subscribes with the key of the cellar, and the server has it', async () => {
  await page.goto(`${address}/set-up`);
  await page.getByText('This browser is not told of alarms.').waitFor();
  expect(await page.evaluate('globalThis.asked')).toBeUndefined();
  await page.getByRole('button', { name: 'Tell this browser of alarms' }).click();
  await page.getByText('This browser is told of alarms.').waitFor();
  const asked = await page.evaluate<{ visible: boolean; bytes: number }>(
    '({ visible: asked.userVisibleOnly, bytes: asked.applicationServerKey.length })',
  );
  expect(asked).toEqual({ visible: true, bytes: 65 });
  expect((await listed()).map(({ kind }) => kind)).toEqual(['push']);
  await expectSound();
});

test('the service worker shows what a push brings', async () => {
  const tools = await context.newCDPSession(page);
  const found = new Promise<string>((settle) => {
    tools.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
      const one = registrations.find(({ scopeURL }) => scopeURL.startsWith(host.url));
      if (one !== undefined) settle(one.registrationId);
    });
  });
  await tools.send('ServiceWorker.enable');
  await page.evaluate('navigator.serviceWorker.ready.then(() => undefined)');
  const [worker] = context.serviceWorkers();
  if (worker === undefined) throw new Error('no service worker runs');
  // A browser without a desktop shows nothing: what the worker asks it to show is written down instead.
  await worker.evaluate(
    `self.shown = []; self.registration.showNotification = async (title, { tag, data }) => {
       self.shown.push([title, tag, data.open]);
     };`,
  );
  await tools.send('ServiceWorker.deliverPushMessage', {
    origin: host.url,
    registrationId: await found,
    data: JSON.stringify({
      title: 'Keg 7: Over-pressure, raised.',
      body: 'Seen: 3.2 bar.',
      open: '/cellars/skerrow-yard/vessels/keg-7',
      tag: 'keg-7/over-pressure',
    }),
  });
  await vi.waitFor(
    async () => {
      expect(await worker.evaluate('self.shown')).toEqual([
        [
          'Keg 7: Over-pressure, raised.',
          'keg-7/over-pressure',
          '/cellars/skerrow-yard/vessels/keg-7',
        ],
      ]);
    },
    { timeout: 30_000, interval: 100 },
  );
});

test('the page of a receiver is sound on a phone', async () => {
  const [receiver] = await listed();
  await page.goto(`${address}/receivers/${receiver?.id}`);
  await page.getByRole('heading', { name: 'Whom it wakes, and when' }).waitFor();
  await page.getByText('Change this').click();
  await expectSound();
});
