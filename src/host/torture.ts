/**
 * `npm run torture`: kills, starves and confuses a throwaway Gyleward on this machine and counts what was
 * lost. Arguments: --rounds NUMBER (rounds of kill -9, 24), --seed NUMBER (other dice, 1). Prints what it
 * did and a verdict; exit code 0 where all holds, else 1.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { clockJumps } from './torture/clock-jumps.ts';
import { control } from './torture/control.ts';
import { fullDisk } from './torture/full-disk.ts';
import { killRounds } from './torture/kill-rounds.ts';
import type { Step, TortureSettings } from './torture/step.ts';
import { tornLog } from './torture/torn-log.ts';

const giveUp = (words: string): never => {
  console.error(`torture: ${words}`);
  process.exit(1);
};

const wholeNumber = (name: string, text: string, least: number, most: number): number => {
  const value = Number(text);
  return /^\d+$/.test(text) && value >= least && value <= most
    ? value
    : giveUp(`--${name} is ${text}; give a whole number from ${least} to ${most}`);
};

const readArguments = (): { readonly rounds: number; readonly seed: number } => {
  try {
    const { values } = parseArgs({
      options: {
        rounds: { type: 'string', default: '24' },
        seed: { type: 'string', default: '1' },
      },
    });
    return {
      rounds: wholeNumber('rounds', values.rounds, 1, 200),
      seed: wholeNumber('seed', values.seed, 0, 999_999_999),
    };
  } catch (error) {
    return giveUp(error instanceof Error ? error.message : String(error));
  }
};

const parts: readonly {
  readonly title: string;
  readonly run: (settings: TortureSettings) => Promise<readonly Step[]>;
}[] = [
  { title: 'Killed under load', run: killRounds },
  { title: 'Without room on the disk', run: fullDisk },
  { title: 'The end of the log torn off', run: tornLog },
  { title: 'The clock set wrong and right again', run: clockJumps },
  { title: 'Control: a store that forgets', run: control },
];

const { rounds, seed } = readArguments();
const folder = mkdtempSync(join(tmpdir(), 'gyleward-torture-'));
const steps: Step[] = [];
try {
  for (const { title, run } of parts) {
    const since = performance.now();
    console.log(`${title} (seed ${seed})`);
    const own = mkdtempSync(join(folder, 'part-'));
    const came = await run({ rounds, seed, folder: own, say: (words) => console.log(words) }).catch(
      (error: unknown): readonly Step[] => [
        {
          words: `the run broke off: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
          holds: false,
        },
      ],
    );
    for (const { words, holds } of came) console.log(`${holds ? 'holds ' : 'FAILS '}  ${words}`);
    steps.push(...came);
    console.log(`        ${((performance.now() - since) / 1000).toFixed(0)} s`);
  }
} finally {
  // What failed is left to be looked at.
  if (steps.every(({ holds }) => holds)) rmSync(folder, { recursive: true, force: true });
}
const good = steps.length > 0 && steps.every(({ holds }) => holds);
console.log(
  good
    ? 'verdict: nothing acknowledged was lost'
    : `verdict: failed; what is left of it lies in ${folder}`,
);
process.exit(good ? 0 : 1);
