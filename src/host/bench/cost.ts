/**
 * What a vessel costs a month on the edge platform, from what was counted over a fortnight: rows, calls and
 * wake-ups in the run itself, time of the processor from the throughput.
 * Prices: developers.cloudflare.com, /workers/platform/pricing and /durable-objects/platform/pricing, Workers
 * Paid, read in November 2026; the price of stored bytes is from memory. They change: look there.
 */

import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { Miniflare, NoOpLog } from 'miniflare';
import * as z from 'zod';
import { makeCellar, readingsBegin, shotsOf } from './bench-cellar.ts';
import { bundled } from './bundled.ts';

const counted = z.object({
  rowsRead: z.number(),
  rowsWritten: z.number(),
  calls: z.number(),
  wakeUps: z.number(),
});
const answer = z.object({ vessel: counted, cellar: counted, requests: z.number() });

/** Dollars for a million, and what the plan includes each month. */
const prices = {
  requests: { dollars: 0.3, included: 10e6 },
  processorMilliseconds: { dollars: 0.02, included: 30e6 },
  objectRequests: { dollars: 0.15, included: 1e6 },
  gigabyteSeconds: { dollars: 12.5, included: 400_000 },
  rowsRead: { dollars: 0.001, included: 25e9 },
  rowsWritten: { dollars: 1, included: 50e6 },
} as const;
const storedGigabyteMonthDollars = 0.2;

const days = 14;
const packMinutes = 15;
const monthDays = 30;
const vesselsOfCellar = 10;
/** The platform bills an object as if it had this much memory, while it works. */
const objectGigabytes = 0.128;

export const cost = async (
  folder: string,
  processorMilliseconds: number | null,
): Promise<readonly string[]> => {
  const secret = 'a secret that guards a throwaway cellar of the bench and nothing else'.replaceAll(
    ' ',
    '-',
  );
  const miniflare = new Miniflare({
    modules: [{ type: 'ESModule', path: 'counting.js', contents: await bundled('counting') }],
    compatibilityDate: '2026-07-01',
    cf: false,
    telemetry: { enabled: false },
    log: new NoOpLog(),
    bindings: { OPERATOR_SECRET: secret, COOKIE_SECRET: secret },
    durableObjects: {
      VESSEL: { className: 'CountedVessel', useSQLite: true },
      CELLAR: { className: 'CountedCellar', useSQLite: true },
    },
    durableObjectsPersist: folder,
  });
  try {
    const url = (await miniflare.ready).origin;
    const { cellar, sensorKey } = await makeCellar(
      { url, operatorSecret: secret },
      vesselsOfCellar,
      'bench-counted',
    );
    const vessel = 'fermenter-1';
    const next = shotsOf({ cellar, sensorKey, vessels: [vessel] }, 4 * packMinutes);
    const pass = (to: number) => fetch(`${url}/pass?to=${to}&cellar=${cellar}&vessel=${vessel}`);
    await pass(readingsBegin);
    await fetch(`${url}/reset`);
    const packs = (days * 24 * 60) / packMinutes;
    for (let pack = 1; pack <= packs; pack += 1) {
      await pass(readingsBegin + pack * packMinutes * 60);
      const { path, headers, body } = next();
      const stored = await fetch(`${url}${path}`, { method: 'POST', headers, body });
      if (!stored.ok)
        throw new Error(`the pack was answered ${stored.status}: ${await stored.text()}`);
      await stored.body?.cancel();
    }
    const counts = answer.parse(await (await fetch(`${url}/counts`)).json());
    return table(counts, packs, processorMilliseconds, largestFile(folder));
  } finally {
    await miniflare.dispose();
  }
};

const largestFile = (folder: string): number =>
  Math.max(
    ...readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.sqlite') && file.includes('Vessel'))
      .map((file) => statSync(join(folder, file)).size),
  );

const table = (
  { vessel, cellar, requests }: z.infer<typeof answer>,
  packs: number,
  processorMilliseconds: number | null,
  storedBytes: number,
): readonly string[] => {
  const month = monthDays / days;
  const objectRequests = vessel.calls + vessel.wakeUps + cellar.calls + cellar.wakeUps;
  const milliseconds = (processorMilliseconds ?? 0) * packs;
  const amounts = {
    requests,
    processorMilliseconds: milliseconds,
    objectRequests,
    // While it waits for nothing an object may hibernate and is not billed: what it works counts.
    gigabyteSeconds: (objectGigabytes * milliseconds) / 1000,
    rowsRead: vessel.rowsRead + cellar.rowsRead,
    rowsWritten: vessel.rowsWritten + cellar.rowsWritten,
  };
  const words: Readonly<Record<keyof typeof prices, string>> = {
    requests: 'requests to the worker',
    processorMilliseconds: 'CPU ms of the worker',
    objectRequests: 'calls of objects, wake-ups too',
    gigabyteSeconds: 'GB-s of objects at work',
    rowsRead: 'rows read',
    rowsWritten: 'rows written',
  };
  const names = Object.keys(prices) as (keyof typeof prices)[];
  const dollarsOf = (name: keyof typeof prices): number =>
    (amounts[name] * month * prices[name].dollars) / 1e6;
  const stored = ((storedBytes * month) / 1e9) * storedGigabyteMonthDollars;
  const total = names.reduce((sum, name) => sum + dollarsOf(name), 0) + stored;
  const fits = Math.min(...names.map((name) => prices[name].included / (amounts[name] * month)));
  const scarcest = names.find((name) => prices[name].included / (amounts[name] * month) === fits);
  const readings = packs * 4 * packMinutes;
  return [
    `Cost of a vessel and month on the edge: four channels at one a minute in packs of ${4 * packMinutes}, one vessel of a cellar of ${vesselsOfCellar}, counted over ${days} days`,
    `  ${'what'.padEnd(34)}${'a month'.padStart(14)}${'$ a million'.padStart(14)}${'$'.padStart(10)}`,
    ...names.map(
      (name) =>
        `  ${words[name].padEnd(34)}${(amounts[name] * month).toFixed(0).padStart(14)}${String(prices[name].dollars).padStart(14)}${dollarsOf(name).toFixed(4).padStart(10)}`,
    ),
    `  ${'bytes stored, after one month'.padEnd(34)}${(storedBytes * month).toFixed(0).padStart(14)}${'0.2 a GB'.padStart(14)}${stored.toFixed(4).padStart(10)}`,
    `  ${'sum, as if nothing were included'.padEnd(62)}${total.toFixed(4).padStart(10)}`,
    `  vessel: ${(vessel.rowsWritten / readings).toFixed(3)} rows written and ${(vessel.rowsRead / readings).toFixed(2)} read a reading, ${vessel.wakeUps} wake-ups; cellar: ${cellar.rowsWritten} rows written, ${(cellar.rowsRead / packs).toFixed(1)} read a pack`,
    `  what the paid plan ($5 a month) includes carries ${Math.floor(fits)} such vessels; ${scarcest === undefined ? '' : words[scarcest]} run out first`,
    `  CPU is that of this machine's runtime, worker and object together, for packs of 100${processorMilliseconds === null ? ': not measured here' : ''}; prices of November 2026`,
  ];
};
