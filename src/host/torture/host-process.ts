/**
 * Gyleward as its users run it (`npm start`, without the build), as a child process that can be killed
 * without warning: the whole of it, or the Workers runtime alone. The runtime is found through /proc, so
 * that outside Linux only the whole can be killed.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { childrenOf } from '../children-of.ts';

const serveScript = join(import.meta.dirname, '../serve.ts');
const keyPattern = /gyl\.[a-z0-9-]+\.[A-Za-z0-9_-]{43}/;
/** The runtime's first words can be long in coming on a loaded machine. */
const keptLines = 200;

export type HostProcess = {
  readonly url: string;
  readonly processId: number;
  /** Printed at the first run on a state folder only. */
  readonly keeperKey: string | null;
  /** The last lines of the worker's log. */
  readonly log: readonly string[];
  /** Process ids of the runtime; empty where there is no /proc, or while it is being started again. */
  readonly runtimes: () => readonly number[];
  /** kill -9 of the whole; settles when it is gone. */
  readonly killWhole: () => Promise<void>;
  /** kill -9 of the runtime alone; false where none was found. */
  readonly killRuntime: () => boolean;
  /** Asks it to stop, and waits. */
  readonly stop: () => Promise<void>;
};

const ended = (child: ChildProcess): Promise<void> =>
  child.exitCode !== null || child.signalCode !== null
    ? Promise.resolve()
    : new Promise((settle) => child.once('exit', () => settle()));

export type HostProcessSettings = {
  readonly state: string;
  readonly port: number;
};

/** The child from its first moment, so that it can be killed while it starts. */
export type StartingHost = {
  readonly up: Promise<HostProcess>;
  readonly killWhole: () => Promise<void>;
};

export const startHostProcess = ({ state, port }: HostProcessSettings): StartingHost => {
  const child = spawn(process.execPath, [serveScript], {
    env: { ...process.env, STATE: state, PORT: String(port), ALLOW_PRIVATE_RECEIVERS: 'yes' },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const log: string[] = [];
  let keeperKey: string | null = null;
  let url: string | null = null;
  createInterface(child.stderr).on('line', (line) => {
    log.push(line);
    if (log.length > keptLines) log.shift();
  });
  const killWhole = async (): Promise<void> => {
    child.kill('SIGKILL');
    await ended(child);
  };
  const up = new Promise<HostProcess>((settle, refuse) => {
    child.once('exit', () => {
      refuse(new Error(`Gyleward ended before it was up: ${log.slice(-5).join(' | ')}`));
    });
    createInterface(child.stdout).on('line', (line) => {
      url ??= /^Gyleward is up at (http:\/\/[^/ ]+)/.exec(line)?.[1] ?? null;
      keeperKey ??= keyPattern.exec(line)?.[0] ?? null;
      if (!line.includes('Ctrl-C stops it') || url === null || child.pid === undefined) return;
      const processId = child.pid;
      settle({
        url,
        processId,
        keeperKey,
        log,
        runtimes: () => childrenOf(processId),
        killWhole,
        killRuntime: () => {
          const runtimes = childrenOf(processId);
          for (const runtime of runtimes) process.kill(runtime, 'SIGKILL');
          return runtimes.length > 0;
        },
        stop: async () => {
          child.kill('SIGTERM');
          await ended(child);
        },
      });
    });
  });
  // A start that is killed on purpose is nobody's surprise.
  up.catch(() => undefined);
  return { up, killWhole };
};
