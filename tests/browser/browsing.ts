/** A real Chromium and a real worker for the browser tests; both end with the test file. */
import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { findBrowser, noBrowserWords } from '../../src/host/browser.ts';
import { buildClient, buildWorker } from '../../src/host/build.ts';
import { builtWorker, type RunningHost, startHost } from '../../src/host/miniflare-host.ts';

export const openBrowser = async (): Promise<Browser> => {
  const found = await findBrowser();
  if (!found.ok) throw new Error(noBrowserWords(found.fault));
  return chromium.launch({
    executablePath: found.value,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--disable-background-networking',
      '--disable-component-update',
    ],
  });
};

export type ThrowawayHost = RunningHost & { readonly operatorSecret: string };

/** The worker with throwaway state, on the time that `now` tells (Unix seconds). */
export const throwawayHost = async (now: () => number): Promise<ThrowawayHost> => {
  await buildClient();
  await buildWorker();
  const folder = mkdtempSync(join(tmpdir(), 'gyleward-browser-test-'));
  const operatorSecret = randomBytes(32).toString('base64url');
  const host = await startHost({
    worker: builtWorker,
    objects: join(folder, 'objects'),
    host: '127.0.0.1',
    port: 0,
    operatorSecret,
    cookieSecret: randomBytes(32).toString('base64url'),
    allowPrivateReceivers: true,
    clock: now,
    onLog: () => {},
  });
  return {
    url: host.url,
    operatorSecret,
    dispose: async () => {
      await host.dispose();
      rmSync(folder, { recursive: true, force: true });
    },
  };
};

/** Signs in with a key and waits for the cellar's page. */
export const signInWith = async (page: Page, url: string, key: string): Promise<void> => {
  await page.goto(url);
  await page.getByLabel('Your key').fill(key);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('heading', { level: 1 }).waitFor();
};
