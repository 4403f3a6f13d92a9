/**
 * The report as a file: whole in itself, nothing of the data able to break out of the text, every mark of the chart
 * leading to its words, and drawings that hold nothing but finite numbers.
 */
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { outcomeOf } from '../../src/host/backtest/one-batch.ts';
import type { Outcome } from '../../src/host/backtest/outcome.ts';
import { reportPage } from '../../src/host/backtest/report/page.ts';
import { pennantRows, pennantsOf, pennantWidth } from '../../src/host/backtest/report/pennants.ts';
import { reportSheet } from '../../src/host/backtest/report/sheet.ts';
import { timeTicks, valueTicks } from '../../src/host/backtest/report/ticks.ts';
import { box, traceOf } from '../../src/host/backtest/report/trace.ts';
import { zoneOf } from '../../src/host/backtest/report/when.ts';
import { sampleHistories } from '../../src/host/backtest/sample-history.ts';

const samples = sampleHistories();
const now = Date.UTC(2027, 0, 1) / 1000;
const title = `Gyle <18> & "Söhne"</style><script>alert(1)</script>`;

const made = (
  text: string,
  values: Parameters<typeof outcomeOf>[2],
  leaveOut: readonly string[] = [],
): Outcome => {
  const outcome = outcomeOf('history.csv', text, values, leaveOut, now);
  if (!outcome.ok) throw new Error(outcome.fault.join('\n'));
  return outcome.value;
};

let sheet = '';
let keg: Outcome;
let pages: readonly string[] = [];

beforeAll(async () => {
  sheet = await reportSheet();
  const wheat = made(samples['lantern-wheat-18.csv'] ?? '', {
    title,
    og: '1.0515',
    terminal: '1.012',
    low: '18',
    high: '22.5',
  });
  keg = made(
    samples['keg-7.csv'] ?? '',
    {
      stage: 'keg',
      low: '2',
      high: '8',
      volume: '30',
      headspace: '1.2',
      'rated-bar': '3',
      'relief-bar': '2.8',
    },
    ['place'],
  );
  pages = await Promise.all(
    [wheat, keg].map(async (outcome) => String(await reportPage(outcome, sheet))),
  );
});

describe('the file', () => {
  it('needs nothing beside itself: no script, no other file, no network', () => {
    for (const page of pages) {
      expect(page).not.toMatch(/<script|<link|<img|<iframe|@import|javascript:/i);
      expect(page).not.toMatch(/\s(?:src|srcset|action)=/i);
      expect([...page.matchAll(/\bhref="([^"]*)"/g)].every(([, to]) => to?.startsWith('#'))).toBe(
        true,
      );
      const addresses = [...page.matchAll(/url\(([^)]{0,40})/g)];
      expect(addresses.length).toBeGreaterThanOrEqual(2);
      for (const [, address] of addresses)
        expect(address).toMatch(/^"?(?:data:font\/woff2;base64,|#)/);
    }
  });

  it('is a page of a few hundred kilobytes', () => {
    for (const page of pages) expect(page.length).toBeLessThan(400_000);
  });

  it('lets no text of the batch out of its place', () => {
    const [page = ''] = pages;
    expect(page).toContain('Gyle &lt;18&gt; &amp; &quot;Söhne&quot;');
    expect(page).not.toContain('<script>');
    expect(page.match(/<\/style>/g)).toHaveLength(1);
  });

  it('has an end for every mark that the chart points to, and no name twice', () => {
    for (const page of pages) {
      const ids = [...page.matchAll(/\sid="([^"]+)"/g)].map(([, id]) => id);
      expect(new Set(ids).size).toBe(ids.length);
      const links = [...page.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id);
      expect(links.length).toBeGreaterThan(0);
      for (const link of links) expect(ids).toContain(link);
    }
  });

  it('says of each alarm what was seen, what to check, what may be behind it, the caution and the source', () => {
    const page = pages[1] ?? '';
    const alarms = keg.told.marks.filter((mark) => mark.kind === 'alarm');
    expect(alarms.length).toBeGreaterThan(1);
    for (const { alarm } of alarms) {
      expect(page).toContain(alarm.evidence.replace(/\.$/, '').slice(1));
      for (const words of [...alarm.checkFirst, ...alarm.likelyCauses]) {
        expect(page).toContain(words.slice(1).replaceAll("'", '&#39;'));
      }
    }
    expect(page).toContain('class="caution"');
    expect(page).toContain('What this rests on');
    expect(page).toMatch(/It foretold the rating for .* A reading reached it on/);
  });

  it('keeps the unit of the file beside the one it was turned into', () => {
    const page = pages[1] ?? '';
    expect(page).toContain('psi turned into bar');
    expect(page).toContain('°F turned into °C');
    expect(page).toMatch(/<span class="readout">psi<\/span>/);
  });

  it('draws with finite numbers only', () => {
    for (const page of pages) {
      const drawn = page.replace(/<style>[\s\S]*<\/style>/, '');
      expect(drawn).not.toMatch(/NaN|Infinity|undefined|\[object|>null</);
      const paths = [...drawn.matchAll(/\sd="([^"]*)"/g)].map(([, d]) => d ?? '');
      expect(paths.length).toBeGreaterThan(4);
      for (const path of paths) expect(path).toMatch(/^[MLZVHhlvac\d .-]+$/);
    }
  });

  it('bears a record without alarms, without a curve, of one row', async () => {
    const bare = made('time,gravity (SG),pH\n1764057600,1.05,\n', {});
    const page = String(await reportPage(bare, sheet));
    expect(page).toContain('No alarms: nothing in this record would have called anybody');
    expect(page).toContain('Too few readings of gravity came for a present gravity.');
    expect(page.replace(/<style>[\s\S]*<\/style>/, '')).not.toMatch(/NaN|Infinity|undefined/);
  });
});

describe('ticks', () => {
  it('are round, inside the range, evenly spaced and about as many as wanted', () => {
    const low = fc.double({ min: -500, max: 500, noNaN: true });
    const span = fc.double({ min: 0.005, max: 1000, noNaN: true });
    fc.assert(
      fc.property(low, span, fc.integer({ min: 3, max: 8 }), (from, width, wanted) => {
        const ticks = valueTicks(from, from + width, wanted);
        expect(ticks.length).toBeGreaterThanOrEqual(1);
        expect(ticks.length).toBeLessThanOrEqual(2 * wanted + 1);
        for (const tick of ticks) {
          expect(tick).toBeGreaterThanOrEqual(from - 1e-6);
          expect(tick).toBeLessThanOrEqual(from + width + 1e-6);
        }
      }),
    );
  });

  it('of time lie on round hours of the zone, few enough for a phone', () => {
    const offsets = fc.constantFrom(0, 3600, -18_000, 20_700);
    fc.assert(
      fc.property(
        fc.integer({ min: 1_700_000_000, max: 1_800_000_000 }),
        fc.integer({ min: 7200, max: 400 * 86_400 }),
        offsets,
        (begins, span, offset) => {
          const ticks = timeTicks(begins, begins + span, zoneOf(offset));
          expect(ticks.length).toBeLessThanOrEqual(13);
          expect(ticks.filter(({ always }) => always).length).toBeLessThanOrEqual(5);
          for (const { at } of ticks) {
            expect((at + offset) % 3600).toBe(0);
            expect(at).toBeGreaterThanOrEqual(begins);
            expect(at).toBeLessThanOrEqual(begins + span);
          }
        },
      ),
    );
  });

  it('names a zone by its offset', () => {
    expect(zoneOf(0).name).toBe('UTC');
    expect(zoneOf(20_700).name).toBe('UTC+05:45');
    expect(zoneOf(-12_600).name).toBe('UTC−03:30');
    expect(zoneOf(3600).moment(Date.UTC(2026, 10, 2, 23, 30) / 1000)).toBe(
      '3\u00a0Nov,\u00a000:30',
    );
  });
});

describe('traces', () => {
  it('stay in their box and break where nothing was read', () => {
    const points = [...Array(40).keys()].map((hour) => [hour, hour < 20 ? 1 : 2] as const);
    const gapped = points.filter(([hour]) => hour < 10 || hour > 25);
    const { line, dots } = traceOf(gapped, [0, 39], [0, 3]);
    expect(line.match(/M/g)).toHaveLength(2);
    expect(dots.match(/h0/g)).toHaveLength(gapped.length);
    for (const [, x, y] of line.matchAll(/[ML]([\d.]+) ([\d.]+)/g)) {
      expect(Number(x)).toBeLessThanOrEqual(box);
      expect(Number(y)).toBeLessThanOrEqual(box);
    }
  });

  it('keep the lowest and the highest reading of many, whatever their order', () => {
    const points = [...Array(20_000).keys()].map(
      (at) => [at, at === 12_345 ? 9 : at === 777 ? 1 : 5] as const,
    );
    const { envelope, dots } = traceOf(points.toReversed(), [0, 20_000], [0, 10]);
    expect(dots).toBe('');
    const heights = [...envelope.matchAll(/[ML][\d.]+ ([\d.]+)/g)].map(([, y]) => Number(y));
    expect(Math.min(...heights)).toBe(100);
    expect(Math.max(...heights)).toBe(900);
    expect(envelope.length).toBeLessThan(20_000);
  });
});

describe('pennants', () => {
  it('never cover each other', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { maxLength: 60 }),
        (places) => {
          const sorted = places.toSorted((a, b) => a - b);
          const pennants = pennantsOf(sorted.map((x, index) => ({ x, number: index + 1 })));
          expect(pennantRows(pennants)).toBeLessThanOrEqual(4);
          for (const one of pennants) {
            for (const other of pennants) {
              if (one === other || one.row !== other.row) continue;
              const [a, b] = [one, other].map(({ x, flipped }) => (flipped ? x - pennantWidth : x));
              expect(Math.abs((a ?? 0) - (b ?? 0))).toBeGreaterThanOrEqual(pennantWidth - 1e-9);
            }
          }
          if (sorted.length > 0) expect(pennants[0]?.number).toBe(1);
        },
      ),
    );
  });
});
