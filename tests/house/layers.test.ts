/**
 * The house rule that imports point downwards, proven with the project's own lint settings: Biome
 * runs on a small copy of the tree in which every file holds one import, and each is either refused
 * or let through. worker → web → storage → monitoring → science; wire uses result.ts and
 * science/units only; host may use all; nothing uses host or worker.ts.
 */
import { execFile } from 'node:child_process';
import { copyFile, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import * as z from 'zod';

const root = fileURLToPath(new URL('../..', import.meta.url));
const biome = createRequire(import.meta.url).resolve('@biomejs/biome/bin/biome');

type Case = { readonly from: string; readonly imports: string; readonly allowed: boolean };

const cases = (
  from: string,
  {
    refused,
    allowed,
  }: { readonly refused: readonly string[]; readonly allowed: readonly string[] },
): readonly Case[] => [
  ...refused.map((imports) => ({ from, imports, allowed: false })),
  ...allowed.map((imports) => ({ from, imports, allowed: true })),
];

const above = {
  worker: '../worker.ts',
  host: '../host/serve.ts',
  web: '../web/app.ts',
  page: '../web/pages/layout.tsx',
  storage: '../storage/vessel-object.ts',
};
const wire = '../wire/senml.ts';
const monitoring = '../monitoring/watch.ts';
const science = ['../science/gravity.ts', '../science/fit/least-squares.ts'];
const units = '../science/units/channel.ts';
const result = '../result.ts';
const platform = ['node:fs', 'cloudflare:workers'];

const all: readonly Case[] = [
  ...cases('src/science', {
    refused: [...Object.values(above), wire, monitoring, ...platform],
    allowed: [result, './gravity.ts', './units/channel.ts', './fit/least-squares.ts'],
  }),
  ...cases('src/science/fit', {
    refused: [...Object.values(above), wire, monitoring].map((path) => `../${path}`),
    allowed: ['../gravity.ts', '../units/channel.ts', '../../result.ts'],
  }),
  ...cases('src/monitoring', {
    refused: [...Object.values(above), wire, ...platform],
    allowed: [result, units, ...science, './alarm.ts'],
  }),
  ...cases('src/wire', {
    refused: [...Object.values(above), monitoring, ...science, ...platform, 'hono'],
    allowed: [result, units, './senml-fault.ts'],
  }),
  ...cases('src/storage', {
    refused: [above.worker, above.host, above.web, above.page, 'node:fs'],
    allowed: [result, units, ...science, monitoring, wire, './schema.ts', 'cloudflare:workers'],
  }),
  ...cases('src/web', {
    refused: [above.worker, above.host, 'node:fs'],
    allowed: [result, units, ...science, monitoring, wire, above.storage, './problem.ts', 'hono'],
  }),
  ...cases('src/web/pages', {
    refused: ['../../worker.ts', '../../host/serve.ts', 'node:fs'],
    allowed: ['../problem.ts', '../../monitoring/watch.ts', '../../storage/vessel-object.ts'],
  }),
  ...cases('src/host', {
    refused: [],
    allowed: [result, ...Object.values(above), wire, monitoring, ...science, 'node:fs'],
  }),
];

/** Globals that read the clock, refused where `now` is an argument. */
const clockless = ['src/science', 'src/monitoring', 'src/wire'];
const clockful = ['src/storage', 'src/web', 'src/host'];

const report = z.object({
  diagnostics: z.array(
    z.object({ category: z.string(), location: z.object({ path: z.string() }) }),
  ),
});

/** Biome ends with 1 where it finds something, which is what it is for here. */
const lint = (folder: string): Promise<string> =>
  new Promise((resolve, reject) => {
    const args = [biome, 'lint', '--reporter=json', '--max-diagnostics=none', 'src'];
    const options = { cwd: folder, maxBuffer: 2 ** 24 };
    execFile(process.execPath, args, options, (error, stdout, stderr) => {
      if (error !== null && error.code !== 1) reject(new Error(stderr || error.message));
      else resolve(stdout);
    });
  });

let folder = '';
let refusals: ReadonlySet<string> = new Set();

const importFile = (index: number, { from }: Case): string => `${from}/case-${index}.ts`;
const clockFile = (from: string): string => `${from}/clock.ts`;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'gyleward-layers-'));
  for (const settings of ['.biome.json', '.gitignore']) {
    await copyFile(join(root, settings), join(folder, settings));
  }
  const put = async (path: string, text: string): Promise<void> => {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), text);
  };
  for (const [index, one] of all.entries()) {
    const text = `import { thing } from '${one.imports}';\n\nexport const other = thing;\n`;
    await put(importFile(index, one), text);
  }
  for (const from of [...clockless, ...clockful]) {
    await put(clockFile(from), 'export const now = (): number => Date.now();\n');
  }
  const { diagnostics } = report.parse(JSON.parse(await lint(folder)));
  refusals = new Set(diagnostics.map(({ category, location }) => `${category} ${location.path}`));
}, 60_000);

afterAll(async () => {
  if (folder !== '') await rm(folder, { recursive: true });
});

describe('imports', () => {
  it.each(all.map((one, index) => ({ ...one, index, verdict: one.allowed ? 'may' : 'may not' })))(
    '$from $verdict import $imports',
    (one) => {
      const refused = refusals.has(`lint/style/noRestrictedImports ${importFile(one.index, one)}`);
      expect(refused).toBe(!one.allowed);
    },
  );

  it('were tried both ways in every layer that has something above it', () => {
    for (const layer of ['science', 'monitoring', 'wire', 'storage', 'web']) {
      const own = all.filter(({ from }) => from === `src/${layer}`);
      expect(own.some(({ allowed }) => allowed)).toBe(true);
      expect(own.some(({ allowed }) => !allowed)).toBe(true);
    }
  });
});

describe('the clock', () => {
  it.each(clockless)('may not be read in %s', (from) => {
    expect(refusals).toContain(`lint/style/noRestrictedGlobals ${clockFile(from)}`);
  });

  it.each(clockful)('may be read in %s', (from) => {
    expect(refusals).not.toContain(`lint/style/noRestrictedGlobals ${clockFile(from)}`);
  });
});
