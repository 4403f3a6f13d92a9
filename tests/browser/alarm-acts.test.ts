/**
 * A keg over its rating, in a real Chromium on a phone: its alarm is acknowledged, set aside with a reason, put back,
 * and reset once somebody has looked. The pages on the way are checked by axe.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { cellarClient } from '../../src/host/demo/cellar-client.ts';
import { drivenClock } from '../../src/host/demo/driven-clock.ts';
import { openBrowser, signInWith, type ThrowawayHost, throwawayHost } from './browsing.ts';

const startAt = 1_900_000_000;
const clock = drivenClock(startAt);

let host: ThrowawayHost;
let browser: Browser;
let page: Page;
let address: string;
let key: string;

const founded = async (): Promise<string> => {
  const answer = await fetch(`${host.url}/v1/cellars`, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${host.operatorSecret}`,
      'content-type': 'application/json',
    },
    body: JSON.stringify({ cellar: 'skerrow-yard', title: 'Skerrow Yard' }),
  });
  return ((await answer.json()) as { key: string }).key;
};

const press = async (pascal: number, at: number): Promise<void> => {
  clock.moveTo(at);
  await cellarClient(host.url, 'skerrow-yard', key).sendReadings([
    { vessel: 'keg-7', channel: 'gauge-pressure', time: at, value: pascal },
  ]);
};

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve('axe-core/axe.min.js'),
  'utf8',
);

const axeFindings = async (): Promise<readonly string[]> => {
  await page.evaluate(axeSource);
  const { violations } = await page.evaluate(() =>
    (
      globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; help: string }[] }> };
      }
    ).axe.run(),
  );
  return violations.map(({ id, help }) => `${id}: ${help}`);
};

/** Nothing over the edge, nothing that axe minds. */
const isSound = async (): Promise<void> => {
  const wide = await page.evaluate<number>('document.documentElement.scrollWidth');
  expect(wide).toBeLessThanOrEqual(320);
  expect(await axeFindings()).toEqual([]);
};

beforeAll(async () => {
  host = await throwawayHost(clock.now);
  key = await founded();
  const keeper = cellarClient(host.url, 'skerrow-yard', key);
  await keeper.create('vessels', {
    vessel: 'keg-7',
    title: 'Keg 7',
    kind: 'keg',
    volumeLitre: 20,
    headspaceLitre: 1,
    ratedGaugePressurePascal: 300_000,
  });
  await press(310_000, startAt);
  browser = await openBrowser();
  page = await (await browser.newContext({ viewport: { width: 320, height: 700 } })).newPage();
  address = `${host.url}/cellars/skerrow-yard`;
  await signInWith(page, host.url, key);
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await host?.dispose();
});

const card = () => page.locator('.alarm-card').first();
const state = async (): Promise<string> =>
  (await card().locator('.alarm-state').textContent()) ?? '';

test('an alarm goes through its life by the forms of the page', async () => {
  await page.goto(`${address}/vessels/keg-7`);
  expect(await state()).toContain('not acknowledged');
  // The forms that set it aside stay out of the way until they are wanted.
  expect(await page.getByLabel('Why').isVisible()).toBe(false);
  await page.getByRole('button', { name: 'Acknowledge: Over-pressure, Keg 7' }).click();
  await page.getByText('If it still stands it asks again').waitFor();
  await page.getByText('Set this alarm aside').click();
  await isSound();
  await page.getByRole('button', { name: 'Shelve it: Over-pressure, Keg 7' }).click();
  await page.getByRole('heading', { name: 'Set aside' }).waitFor();
  await page.getByText('Shelved until').waitFor();
  await isSound();
  await page.getByRole('button', { name: 'Take it off the shelf: Over-pressure, Keg 7' }).click();
  await page.getByText('Set this alarm aside').click();
  await page.getByLabel('Why').fill('the gauge is being changed');
  await page.getByRole('button', { name: 'Take it out of service: Over-pressure, Keg 7' }).click();
  await page.getByText('the gauge is being changed').first().waitFor();
  expect(await state()).toContain('out of service');
  await page
    .getByRole('button', { name: 'Put it back into service: Over-pressure, Keg 7' })
    .click();
  await page.getByRole('button', { name: 'Acknowledge: Over-pressure, Keg 7' }).waitFor();
  await press(200_000, startAt + 600);
  await press(200_000, startAt + 1300);
  await page.reload();
  expect(await state()).toContain('over, latched, not acknowledged');
  await page.getByRole('button', { name: 'Acknowledge: Over-pressure, Keg 7' }).click();
  await page.getByText('does not prove the place safe').waitFor();
  await isSound();
  await page.getByLabel('Note, if you like').first().fill('walked round it, relief valve is dry');
  await page.getByRole('button', { name: 'Reset: Over-pressure, Keg 7' }).click();
  await page.getByText('walked round it, relief valve is dry').first().waitFor();
  expect(await page.locator('.alarm-card').count()).toBe(0);
}, 90_000);

test('the figures and the history of the cellar read well on a phone', async () => {
  await page.goto(`${address}/alarms`);
  await page.getByRole('link', { name: 'How the alarms do' }).click();
  await page.getByRole('heading', { level: 1, name: 'How the alarms do' }).waitFor();
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    await isSound();
  }
  expect(await page.getByText('IEC 62682:2014, seen second-hand').count()).toBe(1);
}, 60_000);
