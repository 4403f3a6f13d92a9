/**
 * Finds a Chromium that starts: CHROME_PATH, then /usr/bin/chromium, then the one inside the
 * @sparticuz/chromium package. Run as a script it prints the path, or one line that says why there is none.
 *
 * The package keeps its binary compressed, next to the network security libraries that a bare
 * machine lacks, and unpacks those libraries on a hosted function only. Here both are unpacked once
 * under node_modules/.cache, and a small starter script sets the library and font paths, so that a
 * caller needs to know nothing but a path. The package's binary is for x86-64 Linux with glibc 2.34 or later.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { mkdtemp, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliDecompressSync } from 'node:zlib';
import { fail, ok, type Result } from '../result.ts';

export type NoBrowser = {
  readonly kind: 'no-browser';
  /** One entry for each place looked at: what it was and why it would not do. */
  readonly tried: readonly string[];
};

const cacheFolder = join(import.meta.dirname, '../../node_modules/.cache');

const starter = `#!/bin/sh
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
LD_LIBRARY_PATH="$here/lib\${LD_LIBRARY_PATH:+:$LD_LIBRARY_PATH}"
FONTCONFIG_FILE="$here/fonts.conf"
export LD_LIBRARY_PATH FONTCONFIG_FILE
exec "$here/chromium" "$@"
`;

const fontSettings = (path: string): string => {
  const folder = path.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
  return `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir>/usr/share/fonts</dir>
  <dir>${folder}/fonts</dir>
  <cachedir>${folder}/fonts-cache</cachedir>
</fontconfig>
`;
};

const messageOf = (error: unknown): string =>
  (error instanceof Error ? error.message : String(error)).split('\n')[0] ?? '';

/** Null if the program starts and names its version, else why it does not. */
const whyItWillNotStart = (path: string): string | null => {
  try {
    accessSync(path, constants.X_OK);
  } catch {
    return 'is no program that may be run';
  }
  const { status, stderr, error } = spawnSync(path, ['--version', '--no-sandbox'], {
    encoding: 'utf8',
    timeout: 30_000,
  });
  if (status === 0) return null;
  const reason = error ? messageOf(error) : (stderr ?? '').trim().split('\n').at(-1);
  return `does not start: ${reason || `exit code ${status}`}`;
};

const packageFolder = (): string =>
  join(dirname(fileURLToPath(import.meta.resolve('@sparticuz/chromium'))), '..');

const unpack = async (source: string, target: string): Promise<void> => {
  const read = (name: string) => brotliDecompressSync(readFileSync(join(source, 'bin', name)));
  mkdirSync(cacheFolder, { recursive: true });
  const half = await mkdtemp(join(cacheFolder, 'browser-half-'));
  try {
    writeFileSync(join(half, 'chromium'), read('chromium.br'), { mode: 0o755 });
    for (const name of ['al2023.tar.br', 'fonts.tar.br', 'swiftshader.tar.br']) {
      execFileSync('tar', ['-xf', '-', '-C', half], { input: read(name) });
    }
    writeFileSync(join(half, 'fonts.conf'), fontSettings(target));
    writeFileSync(join(half, 'start'), starter, { mode: 0o755 });
    // A rename is whole or not at all, so a second process never sees half a browser.
    await rename(half, target).catch((error: unknown) => {
      if (!existsSync(join(target, 'start'))) throw error;
    });
  } finally {
    await rm(half, { recursive: true, force: true });
  }
};

const fromPackage = async (): Promise<Result<string, string>> => {
  try {
    if (process.platform !== 'linux' || process.arch !== 'x64') {
      return fail(`@sparticuz/chromium has no binary for ${process.platform} ${process.arch}`);
    }
    const source = packageFolder();
    const { version } = JSON.parse(readFileSync(join(source, 'package.json'), 'utf8')) as {
      readonly version: string;
    };
    const target = join(cacheFolder, `browser-${version}`);
    const path = join(target, 'start');
    if (!existsSync(path)) await unpack(source, target);
    const reason = whyItWillNotStart(path);
    return reason === null ? ok(path) : fail(`@sparticuz/chromium ${reason}`);
  } catch (error) {
    return fail(`@sparticuz/chromium cannot be unpacked: ${messageOf(error)}`);
  }
};

export const findBrowser = async (
  environment: NodeJS.ProcessEnv = process.env,
): Promise<Result<string, NoBrowser>> => {
  const chosen = environment.CHROME_PATH;
  if (chosen) {
    const reason = whyItWillNotStart(chosen);
    if (reason === null) return ok(chosen);
    return fail({ kind: 'no-browser', tried: [`CHROME_PATH ${chosen} ${reason}`] });
  }
  const usual = '/usr/bin/chromium';
  const reason = whyItWillNotStart(usual);
  if (reason === null) return ok(usual);
  const packaged = await fromPackage();
  if (packaged.ok) return packaged;
  return fail({ kind: 'no-browser', tried: [`${usual} ${reason}`, packaged.fault] });
};

export const noBrowserWords = (fault: NoBrowser): string =>
  `no Chromium to test with: ${fault.tried.join('; ')}; install chromium, or set CHROME_PATH to one`;

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const found = await findBrowser();
  if (found.ok) console.log(found.value);
  else {
    console.error(noBrowserWords(found.fault));
    process.exitCode = 1;
  }
}
