/** A throwaway Gyleward for the bench, with keys, batches and detectors on, and readings without end for it. */
import { randomBytes } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Channel, channels } from '../../science/units/channel.ts';
import { senmlMediaType } from '../../wire/senml-write.ts';
import { childrenOf } from '../children-of.ts';
import { cellarClient } from '../demo/cellar-client.ts';
import { foundCellar } from '../found-cellar.ts';
import { builtWorker, type RunningHost, startHost } from '../miniflare-host.ts';
import { seededNoise } from '../scenario/seeded-noise.ts';
import { fermentations } from '../scenario/skerrow-yard.ts';
import type { Shot } from './flood.ts';

export type BenchHost = RunningHost & {
  readonly operatorSecret: string;
  /** Process id of the runtime; null outside Linux. */
  readonly runtime: number | null;
};

/** Far above what a bench sends: the budget of a key is not what is measured. */
const readingsPerMinute = 1_000_000_000;

export const startBenchHost = async (folder: string): Promise<BenchHost> => {
  const operatorSecret = randomBytes(32).toString('base64url');
  const before = new Set(childrenOf(process.pid));
  const host = await startHost({
    worker: builtWorker,
    objects: join(folder, 'objects'),
    host: '127.0.0.1',
    port: 0,
    operatorSecret,
    cookieSecret: randomBytes(32).toString('base64url'),
    allowPrivateReceivers: true,
    clock: null,
    readingsPerMinute,
    onLog: (line) => {
      if (/unexpected-error|storage-fault|runtime-(dead|revived)/.test(line)) console.error(line);
    },
  });
  const runtime = childrenOf(process.pid).find((child) => !before.has(child)) ?? null;
  return { ...host, operatorSecret, runtime };
};

/** Seconds of processor time that a process has used; null outside Linux. */
export const processorSeconds = (processId: number | null): number | null => {
  if (processId === null) return null;
  const fields = readFileSync(`/proc/${processId}/stat`, 'utf8').split(') ').at(-1)?.split(' ');
  // A tick is a hundredth of a second on every Linux that Node runs on.
  return (Number(fields?.[11]) + Number(fields?.[12])) / 100;
};

/** Resident memory of a process in MB; null outside Linux. */
export const residentMegabytes = (processId: number | null): number | null => {
  if (processId === null) return null;
  const found = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${processId}/status`, 'utf8'))?.[1];
  return found === undefined ? null : Number(found) / 1024;
};

export type BenchCellar = {
  readonly cellar: string;
  readonly sensorKey: string;
  readonly vessels: readonly string[];
};

/** Days before now at which batches and readings begin: room for all that a bench sends. */
const pastDays = 390;

/** Unix seconds of the first reading and of every batch. */
export const readingsBegin = Math.floor(Date.now() / 60_000) * 60 - pastDays * 86_400;

/** Requests at a time while vessels are made. */
const makers = 8;

export const makeCellar = async (
  host: Pick<BenchHost, 'url' | 'operatorSecret'>,
  count: number,
  cellar = `bench-${count}`,
): Promise<BenchCellar> => {
  const keeperKey = await foundCellar(host.url, host.operatorSecret, { cellar, title: cellar });
  if (keeperKey === null) throw new Error(`the cellar ${cellar} exists already`);
  const keeper = cellarClient(host.url, cellar, keeperKey);
  const vessels = Array.from({ length: count }, (_, index) => `fermenter-${index + 1}`);
  const waiting = [...vessels];
  const make = async (): Promise<void> => {
    for (let vessel = waiting.shift(); vessel !== undefined; vessel = waiting.shift()) {
      await keeper.create('vessels', {
        vessel,
        title: vessel,
        kind: 'fermenter',
        volumeLitre: 600,
        headspaceLitre: 110,
        ratedGaugePressurePascal: 100_000,
      });
      await keeper.create('batches', {
        vessel,
        batch: `ale-in-${vessel}`,
        title: 'Harbour Ale',
        drink: 'ale',
        startedAt: readingsBegin,
        originalGravity: fermentations['fermenter-1'].originalGravity,
        expectedTerminalGravity: 1.011,
        temperatureBand: { lowCelsius: 17, highCelsius: 21.5 },
      });
    }
  };
  await Promise.all(Array.from({ length: makers }, make));
  return { cellar, vessels, sensorKey: await keeper.makeKey('Bench', 'sensor', vessels) };
};

const sentChannels = [
  'temperature',
  'gravity',
  'gauge-pressure',
  'ph',
] as const satisfies readonly Channel[];

const noise = seededNoise(1, 'bench');

/** What a sensor of an ale could say, so many days into its batch. */
export const benchValue = (channel: (typeof sentChannels)[number], days: number): number => {
  switch (channel) {
    case 'temperature':
      return Number((19 + 0.1 * noise.normal()).toFixed(2));
    case 'gravity':
      return Number(
        (1.0104 + 0.0378 / (1 + Math.exp(1.7 * (days - 2.8))) + 2e-4 * noise.normal()).toFixed(4),
      );
    case 'gauge-pressure':
      return Math.round(20_000 + 200 * noise.normal());
    case 'ph':
      return Number((4.3 + 0.02 * noise.normal()).toFixed(2));
  }
};

/** Requests for the vessels in turn, each going on in time where its last one stopped. */
export const shotsOf = (
  { cellar, sensorKey, vessels }: BenchCellar,
  readings: number,
): (() => Shot) => {
  const headers = { authorization: `Bearer ${sensorKey}`, 'content-type': senmlMediaType };
  const path = `/v1/cellars/${cellar}/readings`;
  const minutes = takenMinutes(cellar);
  let turn = 0;
  return () => {
    const vessel = vessels[turn % vessels.length] ?? '';
    turn += 1;
    const from = minutes.get(vessel) ?? 0;
    const perChannel = Math.max(1, Math.floor(readings / sentChannels.length));
    const used =
      readings < sentChannels.length
        ? [sentChannels[from % sentChannels.length] ?? 'ph']
        : sentChannels;
    minutes.set(vessel, from + perChannel);
    const records = used.flatMap((channel) =>
      Array.from({ length: perChannel }, (_, index) => ({
        n: channel,
        u: channels[channel].unit,
        t: (from + index) * 60,
        v: benchValue(channel, (from + index) / 1440),
      })),
    );
    const [first, ...others] = records;
    const pack = [{ bn: `${vessel}/`, bt: readingsBegin, ...first }, ...others];
    return { path, headers, body: JSON.stringify(pack) };
  };
};

const taken = new Map<string, Map<string, number>>();

/** Minutes of each vessel that were sent already: a reading sent twice would be a repeat. */
const takenMinutes = (cellar: string): Map<string, number> => {
  const known = taken.get(cellar) ?? new Map<string, number>();
  taken.set(cellar, known);
  return known;
};
