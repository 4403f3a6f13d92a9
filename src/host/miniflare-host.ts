/**
 * The embedded default: runs the worker's bundle under Miniflare on this machine, with its objects'
 * SQLite files kept in a folder. It tries no network of its own and writes nothing to the terminal.
 */
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
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
  /** Unix seconds of cellar time; null leaves the worker on real time. */
  readonly clock: (() => number) | null;
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
    log: new NoOpLog(),
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
    },
    ...(clock === null
      ? {}
      : {
          serviceBindings: {
            CLOCK: async () => new Response(String(clock())),
          },
        }),
  };
  const miniflare = withoutSignalListeners(() => new Miniflare(options));
  const url = await miniflare.ready;
  return { url: url.origin, dispose: () => miniflare.dispose() };
};
