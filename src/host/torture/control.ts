/**
 * The torture's own test: the same gateways, the same kills and the same checker against a store that
 * acknowledges before it writes. Losses must be found, or a clean run says nothing.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import * as z from 'zod';
import { channelNames } from '../../science/units/channel.ts';
import { freePort, portFaultWords } from '../port.ts';
import { dice } from '../simulated/dice.ts';
import { compareReadings, readingsInWords } from './compare-readings.ts';
import { runGateway } from './gateway.ts';
import { Ledger } from './ledger.ts';
import { gatewayCount, loadPacks, pastDays } from './load.ts';
import type { Step, TortureSettings } from './step.ts';

const storeScript = join(import.meta.dirname, 'forgetful-store.ts');

const line = z.object({
  vessel: z.string(),
  channel: z.enum(channelNames as [(typeof channelNames)[number]]),
  time: z.number(),
  value: z.number(),
});

/** A line that was being written when the store died is no reading; sent again, readings are written twice. */
const readingsIn = (file: string) => {
  const found = new Map<string, z.infer<typeof line>>();
  for (const text of existsSync(file) ? readFileSync(file, 'utf8').split('\n') : []) {
    try {
      const reading = line.parse(JSON.parse(text));
      found.set(`${reading.vessel}/${reading.channel}/${reading.time}`, reading);
    } catch {
      // Half a line.
    }
  }
  return [...found.values()];
};

const startStore = async (port: number, file: string): Promise<ChildProcess> => {
  const child = spawn(process.execPath, [storeScript, String(port), file], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  await new Promise<void>((settle, refuse) => {
    child.stdout.once('data', () => settle());
    child.once('exit', () => refuse(new Error('the forgetful store ended before it was up')));
  });
  return child;
};

const kill = async (child: ChildProcess): Promise<void> => {
  const gone = new Promise((settle) => child.once('exit', settle));
  child.kill('SIGKILL');
  await gone;
};

/** Rounds are enough when they are many enough to lose something for sure. */
const fewestRounds = 4;

export const control = async (settings: TortureSettings): Promise<readonly Step[]> => {
  const { folder, seed } = settings;
  const rounds = Math.max(fewestRounds, Math.ceil(settings.rounds / 4));
  const chance = dice(seed);
  const port = await freePort('127.0.0.1', 0);
  if (!port.ok) throw new Error(portFaultWords(port.fault));
  const file = join(folder, 'readings.txt');
  const door = { address: `http://127.0.0.1:${port.value}/readings`, key: 'none' };
  const ledger = new Ledger();
  const stop = new AbortController();
  let store = await startStore(port.value, file);
  try {
    const startedAt = Date.now() / 1000 - pastDays * 86_400;
    const gateways = Array.from({ length: gatewayCount }, (_, gateway) => {
      const own = dice(seed + 100 + gateway);
      return runGateway(
        {
          door: () => door,
          dice: own,
          ledger,
          next: loadPacks(gateway, startedAt, own),
          pauseMilliseconds: [0, 10],
          persistent: false,
        },
        stop.signal,
      );
    });
    for (let round = 0; round < rounds; round += 1) {
      await wait(chance.uniform(200, 1500));
      await kill(store);
      store = await startStore(port.value, file);
    }
    stop.abort();
    await Promise.all(gateways);
  } finally {
    stop.abort();
    await kill(store);
  }
  const findings = compareReadings(ledger.packs, readingsIn(file));
  return [
    {
      words: `a store that acknowledges before it writes, killed ${rounds} times: ${readingsInWords(findings)}`,
      holds: findings.acknowledged > 0 && findings.missing > 0,
    },
  ];
};
