/**
 * `npm run bench`: timings, each beside a floor measured in the same run, since a figure alone says more
 * about the machine than about the code. Nothing here is a test. Arguments: --slice SECONDS (2), --soak
 * MINUTES (a steady load for so long, and the memory that it takes; nothing else is run then).
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { alarmLatency } from './bench/alarm-latency.ts';
import { startBenchHost } from './bench/bench-cellar.ts';
import { cost } from './bench/cost.ts';
import { fitBench } from './bench/fit-bench.ts';
import { idle } from './bench/idle.ts';
import { soak } from './bench/soak.ts';
import { throughput } from './bench/throughput.ts';

const giveUp = (words: string): never => {
  console.error(`bench: ${words}`);
  process.exit(1);
};

const positive = (name: string, text: string): number => {
  const value = Number(text);
  return value > 0 && value <= 600
    ? value
    : giveUp(`--${name} is ${text}; give a number above 0 and up to 600`);
};

const readArguments = (): { readonly slice: number; readonly soak: number | null } => {
  try {
    const { values } = parseArgs({
      options: { slice: { type: 'string', default: '2' }, soak: { type: 'string' } },
    });
    return {
      slice: positive('slice', values.slice),
      soak: values.soak === undefined ? null : positive('soak', values.soak),
    };
  } catch (error) {
    return giveUp(error instanceof Error ? error.message : String(error));
  }
};

const settings = readArguments();
const folder = mkdtempSync(join(tmpdir(), 'gyleward-bench-'));
const host = await startBenchHost(folder);
const print = (lines: readonly string[]): void => console.log(`${lines.join('\n')}\n`);
try {
  if (settings.soak !== null) print(await soak(host, settings.soak));
  else {
    print([await fitBench()]);
    const door = await throughput(host, join(folder, 'floor'), settings.slice);
    print(door.lines);
    print(await alarmLatency(host));
    print(await idle(host));
    print(await cost(join(folder, 'counting'), door.processorMilliseconds));
  }
} finally {
  await host.dispose();
  rmSync(folder, { recursive: true, force: true });
}
process.exit(0);
