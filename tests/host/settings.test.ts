/** What `npm start` is told, and finding a port and a browser. */
import { execFileSync } from 'node:child_process';
import { createServer } from 'node:net';
import { expect, test } from 'vitest';
import { findBrowser, noBrowserWords } from '../../src/host/browser.ts';
import { freePort, portFaultWords } from '../../src/host/port.ts';
import { serveSettings } from '../../src/host/serve-settings.ts';

test('the defaults are this machine alone', () => {
  expect(serveSettings({}, [])).toEqual({
    ok: true,
    value: {
      state: '.state',
      host: '127.0.0.1',
      port: 8787,
      cellar: 'cellar',
      allowPrivateReceivers: false,
      publicUrl: null,
      anotherKeeperKey: false,
    },
  });
});

test.each([
  [{ PORT: '8o' }, [], 'PORT=8o will not do; give a whole number from 0 (any free port) to 65535'],
  [{ PORT: '65536' }, [], 'PORT=65536 will not do'],
  [{ PORT: '80.5' }, [], 'PORT=80.5 will not do'],
  [{ CELLAR: 'My Cellar' }, [], 'CELLAR=My Cellar will not do'],
  [{ HOST: '' }, [], 'HOST= will not do'],
  [{ ALLOW_PRIVATE_RECEIVERS: 'true' }, [], 'ALLOW_PRIVATE_RECEIVERS=true will not do'],
  [{ PUBLIC_URL: 'cellar.example' }, [], 'PUBLIC_URL=cellar.example will not do'],
  [{}, ['--port'], 'unknown argument --port'],
])('%j %j is refused', (environment, args, words) => {
  const read = serveSettings(environment, args);
  if (read.ok) throw new Error('accepted');
  expect(read.fault).toContain(words);
});

test('a free port is found and given back; a taken one is told', async () => {
  const found = await freePort('127.0.0.1', 0);
  if (!found.ok) throw new Error('no port');
  const holder = createServer();
  await new Promise<void>((settle) => holder.listen(found.value, '127.0.0.1', settle));
  const taken = await freePort('127.0.0.1', found.value);
  holder.close();
  if (taken.ok) throw new Error('a taken port was found free');
  expect(portFaultWords(taken.fault)).toBe(
    `port ${found.value} on 127.0.0.1 is taken; stop what listens there, or name another with PORT=NUMBER`,
  );
});

test('an address of another machine is told', async () => {
  // 192.0.2.0/24 is set aside for documentation (RFC 5737) and belongs to no machine.
  const refused = await freePort('192.0.2.1', 0);
  if (refused.ok) throw new Error('listened on an address of nobody');
  expect(portFaultWords(refused.fault)).toContain('is no address of this machine');
});

test('the browser that is found starts', async () => {
  const found = await findBrowser();
  if (!found.ok) throw new Error(noBrowserWords(found.fault));
  const version = execFileSync(found.value, ['--version', '--no-sandbox'], { encoding: 'utf8' });
  expect(version).toMatch(/\d+\.\d+\.\d+\.\d+/);
}, 60_000);

test('a CHROME_PATH that leads nowhere is not passed over', async () => {
  const found = await findBrowser({ CHROME_PATH: '/no/such/browser' });
  if (found.ok) throw new Error('found');
  expect(noBrowserWords(found.fault)).toBe(
    'no Chromium to test with: CHROME_PATH /no/such/browser is no program that may be run; install chromium, or set CHROME_PATH to one',
  );
});
