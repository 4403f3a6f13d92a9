/** A worker of the bench, bundled as the build bundles the worker of production. */
import { join } from 'node:path';
import { build } from 'esbuild';

export const bundled = async (worker: 'floor' | 'counting'): Promise<string> => {
  const { outputFiles } = await build({
    entryPoints: [join(import.meta.dirname, `worker/${worker}.ts`)],
    bundle: true,
    format: 'esm',
    target: 'es2024',
    conditions: ['workerd', 'worker', 'browser'],
    external: ['cloudflare:*', 'node:*'],
    write: false,
    logLevel: 'error',
  });
  const [file] = outputFiles;
  if (file === undefined) throw new Error(`the worker ${worker} was not bundled`);
  return file.text;
};
