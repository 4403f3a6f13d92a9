/**
 * The embedded default: runs the worker's bundle under Miniflare on this machine, with its objects'
 * SQLite files kept in a folder. It tries no network of its own and writes nothing to the terminal.
 */
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { setTimeout as wait } from 'node:timers/promises';
import { Miniflare, type MiniflareOptions, NoOpLog } from 'miniflare';

const root = join(import.meta.dirname, '../..');
export const builtWorker = join(root, '.build/worker.js');
const workerSettings = join(root, 'wrangler.toml');

export type HostSettings = {
  /** The bundle to run. */
  readonly worker: string;
  /** Folder for the objects' SQLite files. */
  readonly objects: string;
  readonly host: string;
  /** 0 takes any free port. */
  readonly port: number;
  readonly operatorSecret: string;
  readonly cookieSecret: string;
  /** Lets receivers live on private and loopback addresses. */
  readonly allowPrivateReceivers: boolean;
  /** Where people reach the pages; messages carry links where it is set. */
  readonly publicUrl?: string | null | undefined;
  /** Unix seconds of cellar time; null leaves the worker on real time. */
  readonly clock: (() => number) | null;
  /** Whether leaps of that clock are part of the story, as in the demo, or happen to the machine. */
  readonly clockLeaps?: 'meant' | 'unforeseen';
  /** Readings that a key may send to a vessel per minute; the usual budget where it is left out. */
  readonly readingsPerMinute?: number;
  /** Takes each line that the worker logs. */
  readonly onLog: (line: string) => void;
};

export type RunningHost = {
  readonly url: string;
  readonly dispose: () => Promise<void>;
};

/** The date that production runs with, so that both behave alike. */
const compatibilityDate = (): string => {
  const date = /^compatibility_date\s*=\s*"(.+)"/m.exec(readFileSync(workerSettings, 'utf8'))?.[1];
  if (date === undefined) throw new Error('wrangler.toml names no compatibility_date');
  return date;
};

/** Has Miniflare start the runtime through a script that ties its life to ours. */
const guardRuntime = (): void => {
  if (process.env.GYLEWARD_WORKERD !== undefined) return;
  const fromMiniflare = createRequire(createRequire(import.meta.url).resolve('miniflare'));
  const { default: binary } = fromMiniflare('workerd') as { readonly default: string };
  process.env.GYLEWARD_WORKERD = process.env.MINIFLARE_WORKERD_PATH ?? binary;
  process.env.MINIFLARE_WORKERD_PATH = join(import.meta.dirname, 'workerd.sh');
};

/**
 * Miniflare ends the process at SIGINT and SIGTERM, before its caller could tidy up. Its listeners for
 * those are taken off again; the one that ends the runtime when the process exits stays.
 */
const withoutSignalListeners = (start: () => Miniflare): Miniflare => {
  const signals = ['SIGINT', 'SIGTERM'] as const;
  const before = signals.map((signal) => process.listeners(signal));
  const started = start();
  for (const [index, signal] of signals.entries()) {
    for (const listener of process.listeners(signal)) {
      if (!before[index]?.includes(listener)) process.off(signal, listener);
    }
  }
  return started;
};

/** Hears what Miniflare says of errors, and nothing else. */
class ErrorListener extends NoOpLog {
  readonly #hear: (error: Error) => void;

  constructor(hear: (error: Error) => void) {
    super();
    this.#hear = hear;
  }

  override error(error: Error): void {
    this.#hear(error);
  }
}

/** Pauses between tries to bring a dead runtime back. Chosen by us: shorter only burns the processor. */
const reviveMilliseconds = [200, 1000, 5000, 15_000] as const;

export const startHost = async (settings: HostSettings): Promise<RunningHost> => {
  if (!existsSync(settings.worker))
    throw new Error(`there is no worker at ${settings.worker}; run npm run build`);
  guardRuntime();
  const { clock, onLog } = settings;
  const options: MiniflareOptions = {
    name: 'gyleward',
    modules: [
      { type: 'ESModule', path: 'worker.js', contents: readFileSync(settings.worker, 'utf8') },
    ],
    compatibilityDate: compatibilityDate(),
    host: settings.host,
    port: settings.port,
    cf: false,
    telemetry: { enabled: false },
    log: new ErrorListener((error) => void revive(error)),
    handleRuntimeStdio: (stdout: Readable, stderr: Readable) => {
      createInterface(stdout).on('line', onLog);
      createInterface(stderr).on('line', onLog);
    },
    durableObjects: {
      VESSEL: { className: 'VesselObject', useSQLite: true },
      CELLAR: { className: 'CellarObject', useSQLite: true },
    },
    durableObjectsPersist: settings.objects,
    bindings: {
      OPERATOR_SECRET: settings.operatorSecret,
      COOKIE_SECRET: settings.cookieSecret,
      ...(settings.allowPrivateReceivers ? { ALLOW_PRIVATE_RECEIVERS: 'yes' } : {}),
      ...(settings.publicUrl == null ? {} : { PUBLIC_URL: settings.publicUrl }),
      ...(settings.clockLeaps === 'unforeseen' ? { CLOCK_LEAPS: 'unforeseen' } : {}),
      ...(settings.readingsPerMinute === undefined
        ? {}
        : { READINGS_PER_MINUTE: String(settings.readingsPerMinute) }),
    },
    ...(clock === null
      ? {}
      : {
          serviceBindings: {
            CLOCK: async () => new Response(String(clock())),
          },
        }),
  };
  let up: URL | null = null;
  let reviving = false;
  let disposed = false;
  /** Miniflare starts a dead runtime again once. One that dies while it starts would stay dead. */
  const revive = async (error: Error): Promise<void> => {
    if (up === null || reviving || disposed) return;
    reviving = true;
    onLog(JSON.stringify({ event: 'runtime-dead', reason: error.message }));
    for (let tries = 0; reviving && !disposed; tries += 1) {
      await wait(reviveMilliseconds[Math.min(tries, reviveMilliseconds.length - 1)]);
      const started = disposed
        ? true
        : await miniflare.setOptions({ ...options, port: Number(up.port) }).then(
            () => true,
            () => false,
          );
      reviving = !started;
    }
    onLog(JSON.stringify({ event: 'runtime-revived' }));
  };
  const miniflare = withoutSignalListeners(() => new Miniflare(options));
  up = await miniflare.ready;
  return {
    url: up.origin,
    dispose: () => {
      disposed = true;
      return miniflare.dispose();
    },
  };
};
