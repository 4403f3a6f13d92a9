/**
 * What a brewer does with a stalled batch, in a real Chromium: signs in, sees which vessel needs
 * somebody, follows it to its chart, acknowledges the alarm. Every page on the way is checked by axe.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { drivenClock } from '../../src/host/demo/driven-clock.ts';
import { type Doors, setUp } from '../../src/host/demo/set-up.ts';
import {
  startWebhookReceiver,
  type WebhookReceiver,
} from '../../src/host/demo/webhook-receiver.ts';
import { simulatedCellar } from '../../src/host/scenario/simulated-cellar.ts';
import { chartWords } from '../../src/web/messages.ts';
import { openBrowser, type ThrowawayHost, throwawayHost } from './browsing.ts';

const startAt = 1_900_000_000;
const stepsPerPack = 8;
const clock = drivenClock(startAt);

let host: ThrowawayHost;
let browser: Browser;
let receiver: WebhookReceiver;
let doors: Doors;
let page: Page;
const trouble: string[] = [];

/** Plays the yard's days until Fermenter 2 is said to have stalled. */
const playUntilStalled = async (): Promise<void> => {
  const yard = simulatedCellar(1);
  for (let packs = 0; packs < (11 * 96) / stepsPerPack; packs += 1) {
    const steps = Array.from({ length: stepsPerPack }, () => yard.step());
    clock.moveTo(startAt + (steps.at(-1)?.endsAfterSeconds ?? 0));
    await doors.gateway.sendReadings(
      steps.flatMap(({ readings }) =>
        readings
          .filter(({ vessel }) => vessel !== 'steeping-tank')
          .map(({ afterSeconds, ...reading }) => ({ ...reading, time: startAt + afterSeconds })),
      ),
    );
    const { history } = await doors.keeper.alarms();
    if (history.some((entry) => entry.kind === 'alarm' && entry.alarm.kind === 'stall')) return;
  }
  throw new Error('eleven days went by and no stall was raised');
};

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve('axe-core/axe.min.js'),
  'utf8',
);

type AxeFindings = {
  readonly violations: readonly { readonly id: string; readonly help: string }[];
};

/** The policy of the page forbids foreign scripts, so axe goes in by the debugging protocol. */
const axeFindings = async (): Promise<readonly string[]> => {
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(): Promise<AxeFindings> } }).axe.run(),
  );
  return violations.map(({ id, help }) => `${id}: ${help}`);
};

beforeAll(async () => {
  receiver = await startWebhookReceiver();
  host = await throwawayHost(clock.now);
  doors = await setUp(host.url, host.operatorSecret, startAt, receiver);
  await playUntilStalled();
  browser = await openBrowser();
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    bypassCSP: false,
  });
  page = await context.newPage();
  page.on('pageerror', (error) => trouble.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') trouble.push(message.text());
  });
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await host?.dispose();
  await receiver?.close();
});

test('the brewer signs in, finds the stalled batch, reads why, and acknowledges the alarm', async () => {
  await page.goto(host.url);
  expect(new URL(page.url()).pathname).toBe('/sign-in');
  await page.getByLabel('Your key').fill(doors.keeperKey);
  await page.getByRole('button', { name: 'Sign in' }).click();

  await page.getByRole('heading', { level: 1 }).waitFor();
  const stalled = page.getByText('Fermentation has stalled').first();
  await stalled.waitFor();
  await page
    .getByRole('link', { name: /Fermenter 2/ })
    .first()
    .click();

  await page.getByRole('heading', { level: 1, name: /Fermenter 2/ }).waitFor();
  await page.locator('canvas').first().waitFor();
  expect(await page.locator('canvas').count()).toBeGreaterThan(0);
  expect(await page.getByText(/fell .* points?/).count()).toBeGreaterThan(0);

  await page
    .getByRole('button', { name: /acknowledge/i })
    .first()
    .click();
  await page
    .getByText(/acknowledged/i)
    .first()
    .waitFor();
  const { history } = await doors.keeper.alarms();
  expect(history[0]).toMatchObject({
    vessel: 'fermenter-2',
    transition: 'acknowledged',
    by: 'First keeper',
  });
  expect(trouble).toEqual([]);
}, 60_000);

const places = [
  ['cellar', ''],
  ['vessel', '/vessels/fermenter-2'],
  ['alarms', '/alarms'],
  ['set-up', '/set-up'],
] as const;

test.each(
  places.flatMap(([name, path]) =>
    (['light', 'dark'] as const).map((colorScheme) => ({ name, path, colorScheme })),
  ),
)(
  'axe has nothing to say about the $name page, $colorScheme, 320 px wide',
  async ({ path, colorScheme }) => {
    await page.setViewportSize({ width: 320, height: 700 });
    await page.emulateMedia({ colorScheme });
    await page.goto(`${host.url}/cellars/skerrow-yard${path}`, { waitUntil: 'networkidle' });
    expect(await axeFindings()).toEqual([]);
  },
  60_000,
);

test('axe has nothing to say about a vessel whose chart is still on its way, nor once it is drawn', async () => {
  const held = Promise.withResolvers<void>();
  const chartData = '**/vessels/fermenter-2/chart*';
  await page.route(chartData, async (route) => {
    await held.promise;
    await route.continue();
  });
  await page.goto(`${host.url}/cellars/skerrow-yard/vessels/fermenter-2`);
  await page.getByText(chartWords.loading).waitFor();
  expect(await axeFindings()).toEqual([]);
  held.resolve();
  await page.locator('canvas').first().waitFor();
  await page.unroute(chartData);
  expect(await axeFindings()).toEqual([]);
}, 60_000);
