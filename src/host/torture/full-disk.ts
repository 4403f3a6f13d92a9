/**
 * A disk without room under load: every answer must be a refusal that says so, nothing may be acknowledged
 * that is not there, and with room again it must go on without a restart. Two ways to have no room: a small
 * file system filled to the brim, where this user may mount one, and a limit on the size of files, which
 * every user may set (prlimit of util-linux).
 */
import { execFileSync } from 'node:child_process';
import { closeSync, mkdirSync, openSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { freePort, portFaultWords } from '../port.ts';
import { dice } from '../simulated/dice.ts';
import { compareReadings, readingsHold, readingsInWords } from './compare-readings.ts';
import { type HostProcess, startHostProcess } from './host-process.ts';
import { Ledger } from './ledger.ts';
import { loadPacks, pastDays } from './load.ts';
import { readOnDisk } from './on-disk.ts';
import type { Step, TortureSettings } from './step.ts';
import { openYard, sendInOrder } from './yard.ts';

type Shortage = {
  readonly name: string;
  /** Takes the room away from a running host, and gives it back. */
  readonly fill: (host: HostProcess) => void;
  readonly free: (host: HostProcess) => void;
};

/** Bytes to which files may grow: less than the log of any vessel that has been written to. */
const fileLimitBytes = 40_000;

const limitFiles = ({ processId, runtimes }: HostProcess, limit: string): void => {
  for (const one of [...runtimes(), processId])
    execFileSync('prlimit', ['--pid', String(one), `--fsize=${limit}`]);
};

const fileLimit: Shortage = {
  name: 'no file may grow past a limit',
  fill: (host) => limitFiles(host, `${fileLimitBytes}:unlimited`),
  free: (host) => limitFiles(host, 'unlimited:unlimited'),
};

const smallDisk = (mount: string): Shortage => {
  const ballast = join(mount, 'ballast');
  return {
    name: 'the disk is full',
    fill: () => {
      const file = openSync(ballast, 'w');
      try {
        for (;;) writeSync(file, Buffer.alloc(4096));
      } catch {
        // Full, as wanted.
      } finally {
        closeSync(file);
      }
    },
    free: () => rmSync(ballast),
  };
};

const succeeds = (command: string, args: readonly string[]): boolean => {
  try {
    execFileSync(command, args, { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
};

const packsBefore = 20;
const packsWithout = 40;
const packsAfter = 20;

const starve = async (
  shortage: Shortage,
  state: string,
  { folder, seed }: TortureSettings,
): Promise<readonly Step[]> => {
  const port = await freePort('127.0.0.1', 0);
  if (!port.ok) throw new Error(portFaultWords(port.fault));
  const host = await startHostProcess({ state, port: port.value }).up;
  try {
    const { door } = await openYard(host);
    const ledger = new Ledger();
    const next = loadPacks(0, Date.now() / 1000 - pastDays * 86_400, dice(seed));
    const before = await sendInOrder(door, ledger, packsBefore, next);
    shortage.fill(host);
    const without = await sendInOrder(door, ledger, packsWithout, next);
    const alive = (await fetch(`${host.url}/healthz`)).status;
    shortage.free(host);
    const after = await sendInOrder(door, ledger, packsAfter, next);
    await host.stop();
    const disk = readOnDisk(join(state, 'objects'), folder, 'with-log');
    const findings = compareReadings(ledger.packs, disk.readings);
    const count = (statuses: readonly number[], wanted: readonly number[]): number =>
      statuses.filter((status) => wanted.includes(status)).length;
    const refused = count(without, [503, 507]);
    const stored = count(without, [200]);
    const { name } = shortage;
    return [
      {
        words: `${name}: ${packsWithout} packs, ${refused} refused as 503 or 507, ${stored} acknowledged, ${packsWithout - refused - stored} otherwise; /healthz answered ${alive}`,
        // Its health may well be told as poor; that it answers shows that it lives.
        holds: refused > 0 && refused + stored === packsWithout && [200, 503].includes(alive),
      },
      {
        words: `with room again, without a restart: ${count(after, [200])} of ${packsAfter} packs acknowledged`,
        holds: count(after, [200]) === packsAfter && count(before, [200]) === packsBefore,
      },
      { words: readingsInWords(findings), holds: readingsHold(findings) },
    ];
  } finally {
    await host.killWhole();
  }
};

/** Large enough for the objects of the load, small enough to be filled in a moment. */
const mountOptions = 'size=8m,mode=700';

export const fullDisk = async (settings: TortureSettings): Promise<readonly Step[]> => {
  const { folder, say } = settings;
  const steps: Step[] = [];
  const mount = join(folder, 'small-disk');
  mkdirSync(mount);
  if (succeeds('mount', ['-t', 'tmpfs', '-o', mountOptions, 'gyleward-torture', mount])) {
    try {
      steps.push(...(await starve(smallDisk(mount), join(mount, 'state'), settings)));
    } finally {
      execFileSync('umount', ['--lazy', mount]);
    }
  } else say('  this user may not mount a small disk: only the limit on files is tried');
  if (process.platform === 'linux')
    steps.push(...(await starve(fileLimit, join(folder, 'state'), settings)));
  else say('  no limit on files outside Linux');
  return steps;
};
