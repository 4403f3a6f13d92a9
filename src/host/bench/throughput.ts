/**
 * Readings a second through the whole door, beside a floor that was measured in the same run on the same
 * host: slices of both take turns, so that a busy machine slows both.
 */
import { Miniflare, NoOpLog } from 'miniflare';
import { childrenOf } from '../children-of.ts';
import {
  type BenchHost,
  benchValue,
  makeCellar,
  processorSeconds,
  shotsOf,
} from './bench-cellar.ts';
import { bundled } from './bundled.ts';
import { type Flood, flood, joined, milliseconds, type Shot } from './flood.ts';

const vesselCounts = [1, 10, 100, 1000] as const;
const packSizes = [1, 100] as const;
const connections = 8;
const slices = 4;

/** The share of the floor that is the goal. */
const goal = 0.7;

type Floor = {
  readonly url: string;
  readonly runtime: number | null;
  readonly dispose: () => Promise<void>;
};

const startFloor = async (folder: string): Promise<Floor> => {
  const before = new Set(childrenOf(process.pid));
  const miniflare = new Miniflare({
    modules: [{ type: 'ESModule', path: 'floor.js', contents: await bundled('floor') }],
    compatibilityDate: '2026-07-01',
    cf: false,
    telemetry: { enabled: false },
    log: new NoOpLog(),
    durableObjects: { FLOOR: { className: 'FloorObject', useSQLite: true } },
    durableObjectsPersist: folder,
  });
  const { origin } = await miniflare.ready;
  const runtime = childrenOf(process.pid).find((child) => !before.has(child)) ?? null;
  return { url: origin, runtime, dispose: () => miniflare.dispose() };
};

const floorShots = (vessels: number, readings: number): (() => Shot) => {
  let turn = 0;
  return () => {
    turn += 1;
    const body = Array.from({ length: readings }, (_, index) => {
      const time = 1_700_000_000 + 60 * (turn * readings + index);
      return { channel: 'temperature', time, value: benchValue('temperature', 0) };
    });
    return {
      path: `/vessels-${vessels}-${turn % vessels}`,
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    };
  };
};

const rate = ({ requests, seconds }: Flood, readings: number): number =>
  (requests * readings) / seconds;

const column = (text: string, width: number): string => text.padStart(width);

const row = (cells: readonly string[]): string =>
  `  ${cells.map((cell, index) => column(cell, index < 2 ? 8 : 12)).join('')}`;

export type Throughput = {
  readonly lines: readonly string[];
  /** Milliseconds of the runtime's processor for a pack of the greater size, worker and object together. */
  readonly processorMilliseconds: number | null;
};

export const throughput = async (
  host: BenchHost,
  folder: string,
  sliceSeconds: number,
): Promise<Throughput> => {
  const floor = await startFloor(folder);
  const lines = [
    `Readings through the door, ${connections} connections, ${slices} slices of ${sliceSeconds} s each, in turn with the floor`,
    row([
      'vessels',
      'a pack',
      'readings/s',
      'floor',
      'ratio',
      'p50',
      'p99',
      'floor p99',
      'CPU/pack',
      'floor CPU',
    ]),
  ];
  let processorMilliseconds: number | null = null;
  try {
    for (const vessels of vesselCounts) {
      const cellar = await makeCellar(host, vessels);
      for (const readings of packSizes) {
        const own = shotsOf(cellar, readings);
        const bare = floorShots(vessels, readings);
        // Objects that were never asked for are made in a warm-up.
        await flood(host.url, connections, sliceSeconds * 500, own);
        await flood(floor.url, connections, sliceSeconds * 500, bare);
        const ours: Flood[] = [];
        const floors: Flood[] = [];
        let [used, usedByFloor] = [0, 0];
        for (let slice = 0; slice < slices; slice += 1) {
          const before = processorSeconds(host.runtime) ?? 0;
          ours.push(await flood(host.url, connections, sliceSeconds * 1000, own));
          used += (processorSeconds(host.runtime) ?? 0) - before;
          const floorBefore = processorSeconds(floor.runtime) ?? 0;
          floors.push(await flood(floor.url, connections, sliceSeconds * 1000, bare));
          usedByFloor += (processorSeconds(floor.runtime) ?? 0) - floorBefore;
        }
        const [us, them] = [joined(ours), joined(floors)];
        const ratio = rate(us, readings) / rate(them, readings);
        const perPack = (1000 * used) / us.requests;
        if (readings > 1 && host.runtime !== null) processorMilliseconds = perPack;
        lines.push(
          row([
            String(vessels),
            String(readings),
            rate(us, readings).toFixed(0),
            rate(them, readings).toFixed(0),
            `${ratio.toFixed(2)}${ratio >= goal ? '' : ' (!)'}`,
            milliseconds(us, 0.5),
            milliseconds(us, 0.99),
            milliseconds(them, 0.99),
            host.runtime === null ? '-' : `${perPack.toFixed(2)} ms`,
            floor.runtime === null
              ? '-'
              : `${((1000 * usedByFloor) / them.requests).toFixed(2)} ms`,
          ]),
        );
        console.error(lines.at(-1));
      }
    }
  } finally {
    await floor.dispose();
  }
  lines.push(`  goal: a ratio of at least ${goal}; below it stands (!)`);
  return { lines, processorMilliseconds };
};
