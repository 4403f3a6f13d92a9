/**
 * The report in a real Chromium: at 390 px nothing runs over the edge, axe finds nothing in either theme, and a mark of
 * the chart leads to its card. Opened as a file, without a script and without a network.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { outcomeOf, writeReport } from '../../src/host/backtest/one-batch.ts';
import { sampleHistories } from '../../src/host/backtest/sample-history.ts';
import { openBrowser } from './browsing.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const folder = mkdtempSync(join(tmpdir(), 'gyleward-report-'));
let browser: Browser;

const reports = ['wheat', 'keg'] as const;

beforeAll(async () => {
  const samples = sampleHistories();
  const now = Date.UTC(2027, 0, 1) / 1000;
  const values = {
    wheat: { og: '1.0515', terminal: '1.012', low: '18', high: '22.5' },
    keg: { stage: 'keg', low: '2', high: '8', volume: '30', headspace: '1.2', 'rated-bar': '3' },
  };
  const texts = { wheat: samples['lantern-wheat-18.csv'], keg: samples['keg-7.csv'] };
  for (const name of reports) {
    const leaveOut = name === 'keg' ? ['place'] : [];
    const made = outcomeOf(`${name}.csv`, texts[name] ?? '', values[name], leaveOut, now);
    if (!made.ok) throw new Error(made.fault.join('\n'));
    await writeReport(made.value, join(folder, `${name}.html`));
  }
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true });
});

const opened = async (
  name: string,
  settings: Parameters<Browser['newContext']>[0],
  run: (page: Page) => Promise<void>,
): Promise<void> => {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, ...settings });
  try {
    const page = await context.newPage();
    await page.goto(pathToFileURL(join(folder, `${name}.html`)).href);
    await run(page);
  } finally {
    await context.close();
  }
};

test.each(
  reports.flatMap((name) => (['light', 'dark'] as const).map((theme) => [name, theme] as const)),
)(
  'the report of the %s, %s, has nothing over the edge and nothing that axe minds',
  async (name, theme) => {
    await opened(name, { colorScheme: theme }, async (page) => {
      const width = await page.evaluate<number>('document.documentElement.scrollWidth');
      expect(width).toBeLessThanOrEqual(390);
      await page.evaluate(axe);
      const found = await page.evaluate(
        'axe.run(document).then(({ violations, passes }) => ({ violations: violations.map(({ id, nodes }) => [id, ...nodes.map(({ html }) => html)]), passes: passes.length }))',
      );
      expect(found).toMatchObject({ violations: [] });
      expect((found as { readonly passes: number }).passes).toBeGreaterThan(10);
    });
  },
);

test('a pennant leads to its card, without a script', async () => {
  await opened('keg', { javaScriptEnabled: false, offline: true }, async (page) => {
    await page.locator('.trace-plot a[href="#mark-2"]').click();
    expect(new URL(page.url()).hash).toBe('#mark-2');
    expect(await page.locator('#mark-2').getByRole('heading', { level: 3 }).textContent()).toBe(
      'Over-pressure ahead',
    );
  });
});

test('the panels share their times, at any width', async () => {
  for (const width of [390, 800, 1280]) {
    await opened('keg', { viewport: { width, height: 900 } }, async (page) => {
      const boxes = await page.locator('.panels .trace-plot').all();
      expect(boxes.length).toBe(2);
      const sides = await Promise.all(boxes.map((box) => box.boundingBox()));
      expect(new Set(sides.map((side) => `${side?.x} ${side?.width}`)).size).toBe(1);
    });
  }
});

test('the report fits A4 sheets', async () => {
  await opened('wheat', { viewport: { width: 1280, height: 900 } }, async (page) => {
    const pdf = await page.pdf({ preferCSSPageSize: true });
    writeFileSync(join(folder, 'wheat.pdf'), pdf);
    const text = pdf.toString('latin1');
    const boxes = [...text.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)];
    expect(boxes.length).toBeGreaterThan(0);
    expect(boxes.length).toBeLessThanOrEqual(5);
    for (const [, width, height] of boxes) {
      // ISO 216: A4 is 210 by 297 mm, in points of 1/72 inch, to the whole pixel that the browser lays out in.
      expect(Math.abs(Number(width) - (210 / 25.4) * 72)).toBeLessThan(1);
      expect(Math.abs(Number(height) - (297 / 25.4) * 72)).toBeLessThan(1);
    }
  });
});
