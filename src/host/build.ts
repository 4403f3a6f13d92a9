/**
 * The build: bundles the page's scripts, sheet, fonts and mark into `.build/client-assets.ts` under
 * names that carry a hash of their content, then the worker into `.build/worker.js`.
 * Each is left alone where nothing it was made from has changed. Hosts and tests call them too.
 */
import { createHash } from 'node:crypto';
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Metafile, OutputFile } from 'esbuild';
import { isBuilt, stampBuild } from './build-stamp.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const outFolder = '.build';
const clientFolder = 'src/web/client';
const assetsFile = join(outFolder, 'client-assets.ts');
const workerFile = join(outFolder, 'worker.js');
const clientStamp = join(outFolder, 'client-stamp.json');
const workerStamp = join(outFolder, 'worker-stamp.json');

/** The names by which pages ask for an asset; fonts are found by the sheet itself. */
const entries = [
  'page.css',
  'live.ts',
  'chart.ts',
  'push.ts',
  'push-worker.ts',
  'mark.svg',
] as const;

/** Browsers of the last two and a half years or so; chosen by us. Older ones get the page without scripts. */
const browsers = ['chrome120', 'firefox121', 'safari17'];

const mediaTypes: Readonly<Record<string, string>> = {
  '.css': 'text/css; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
};

type ClientAsset = {
  readonly type: string;
  readonly body: string;
  readonly encoding: 'utf8' | 'base64';
  readonly etag: string;
};

const nameOf = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

const assetOf = (file: OutputFile): ClientAsset => {
  const type = mediaTypes[extname(file.path)];
  if (type === undefined) throw new Error(`no media type is known for the asset ${file.path}`);
  const binary = extname(file.path) === '.woff2';
  return {
    type,
    body: binary ? Buffer.from(file.contents).toString('base64') : file.text,
    encoding: binary ? 'base64' : 'utf8',
    etag: `"${createHash('sha256').update(file.contents).digest('base64url').slice(0, 22)}"`,
  };
};

/**
 * Writes only what differs, so that a watcher or a type checker is not woken for nothing, and by a rename,
 * so that a host that starts meanwhile reads a whole file.
 */
const writeIfChanged = async (file: string, text: string): Promise<void> => {
  const path = join(root, file);
  const present = await readFile(path, 'utf8').catch(() => null);
  if (present === text) return;
  const half = `${path}.${process.pid}`;
  await writeFile(half, text);
  await rename(half, path);
};

/** What the bundler read, and what tells it how. */
const inputsOf = (metafile: Metafile): readonly string[] => [
  ...Object.keys(metafile.inputs),
  'src/host/build.ts',
  'tsconfig.json',
];

/** Bundles what the browser fetches. */
export const buildClient = async (): Promise<void> => {
  if (await isBuilt(root, clientStamp)) return;
  const startedMilliseconds = Date.now();
  const { build } = await import('esbuild');
  const result = await build({
    absWorkingDir: root,
    entryPoints: entries.map((entry) => `${clientFolder}/${entry}`),
    outdir: outFolder,
    entryNames: '[name]-[hash]',
    assetNames: '[name]-[hash]',
    publicPath: '/assets',
    bundle: true,
    minify: true,
    format: 'esm',
    target: browsers,
    loader: { '.woff2': 'file', '.svg': 'copy' },
    legalComments: 'none',
    metafile: true,
    write: false,
    logLevel: 'error',
  });
  const assets = Object.fromEntries(
    result.outputFiles
      .map((file) => [nameOf(file.path), assetOf(file)] as const)
      .toSorted(([one], [other]) => (one < other ? -1 : 1)),
  );
  const paths: Record<string, string> = {};
  for (const entry of entries) {
    const output = Object.entries(result.metafile.outputs).find(
      ([path, { inputs, entryPoint }]) =>
        entryPoint === `${clientFolder}/${entry}` ||
        (extname(path) === '.svg' && Object.hasOwn(inputs, `${clientFolder}/${entry}`)),
    );
    if (output === undefined) throw new Error(`the bundle lacks ${entry}`);
    paths[entry.replace(/\.ts$/, '.js')] = `/assets/${nameOf(output[0])}`;
  }
  await mkdir(join(root, outFolder), { recursive: true });
  await writeIfChanged(
    assetsFile,
    [
      '// Made by `npm run build` from src/web/client.',
      "export const clientAssets: Readonly<Record<string, { readonly type: string; readonly body: string; readonly encoding: 'utf8' | 'base64'; readonly etag: string }>> = ",
      `${JSON.stringify(assets, null, 1)};`,
      `export const assetPath = ${JSON.stringify(paths, null, 1)} as const;`,
      '',
    ].join('\n'),
  );
  await stampBuild(
    root,
    clientStamp,
    { inputs: inputsOf(result.metafile), outputs: [assetsFile] },
    startedMilliseconds,
  );
};

/** Bundles the worker; it takes the client's assets in, so `buildClient` comes first. */
export const buildWorker = async (): Promise<void> => {
  if (await isBuilt(root, workerStamp)) return;
  const startedMilliseconds = Date.now();
  const { build } = await import('esbuild');
  const { outputFiles, metafile } = await build({
    absWorkingDir: root,
    entryPoints: ['src/worker.ts'],
    outfile: workerFile,
    write: false,
    bundle: true,
    format: 'esm',
    target: 'es2024',
    conditions: ['workerd', 'worker', 'browser'],
    external: ['cloudflare:*', 'node:*'],
    metafile: true,
    logLevel: 'error',
  });
  await writeIfChanged(workerFile, outputFiles[0]?.text ?? '');
  await stampBuild(
    root,
    workerStamp,
    { inputs: inputsOf(metafile), outputs: [workerFile] },
    startedMilliseconds,
  );
};

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  await buildClient();
  await buildWorker();
}
