/** The state folder: secrets made once, one holder at a time, and faults that say what to do. */
import { chmodSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openStateFolder, stateFaultWords } from '../../src/host/state-folder.ts';

let scratch = '';
beforeEach(() => {
  scratch = mkdtempSync(join(tmpdir(), 'gyleward-state-'));
});
afterEach(() => rmSync(scratch, { recursive: true, force: true }));

test('the secrets are random, long, and readable by their owner only', async () => {
  const one = await openStateFolder(join(scratch, 'one'));
  const two = await openStateFolder(join(scratch, 'two'));
  if (!one.ok || !two.ok) throw new Error('not opened');
  const secrets = [one, two].flatMap(({ value }) => Object.values(value.secrets));
  expect(new Set(secrets).size).toBe(4);
  // 32 random bytes in base64url.
  for (const secret of secrets) expect(secret).toMatch(/^[\w-]{43}$/);
  expect(statSync(join(scratch, 'one', 'secrets.json')).mode & 0o777).toBe(0o600);
});

test('a folder that exists keeps its secrets', async () => {
  const known = { operatorSecret: 'o'.repeat(43), cookieSecret: 'c'.repeat(43) };
  writeFileSync(join(scratch, 'secrets.json'), JSON.stringify(known));
  const opened = await openStateFolder(scratch);
  if (!opened.ok) throw new Error('not opened');
  expect(opened.value.secrets).toEqual(known);
});

test.skipIf(process.platform !== 'linux')(
  'a folder that is held is refused, however it is spelled',
  async () => {
    const state = join(scratch, 'state');
    expect((await openStateFolder(state)).ok).toBe(true);
    const second = await openStateFolder(`${state}/../state`);
    expect(second).toMatchObject({ ok: false, fault: { kind: 'in-use' } });
  },
);

test('damaged secrets are refused and left as they are', async () => {
  const path = join(scratch, 'secrets.json');
  for (const damaged of ['', '{}', '{"operatorSecret":"short","cookieSecret":"short"}']) {
    rmSync(scratch, { recursive: true, force: true });
    scratch = mkdtempSync(join(tmpdir(), 'gyleward-state-'));
    const file = join(scratch, 'secrets.json');
    writeFileSync(file, damaged);
    const opened = await openStateFolder(scratch);
    expect(opened).toMatchObject({ ok: false, fault: { kind: 'secrets-unreadable' } });
    expect(readFileSync(file, 'utf8')).toBe(damaged);
  }
  expect(path).toMatch(/secrets/);
});

test('a folder that cannot be made is told with the reason', async () => {
  const file = join(scratch, 'file');
  writeFileSync(file, '');
  chmodSync(file, 0o600);
  for (const [folder, reason] of [
    [file, 'a file of that name stands there'],
    [join(file, 'state'), 'a file stands in its path'],
    [join(scratch, 'no', 'state'), 'the folder above it does not exist'],
  ] as const) {
    const opened = await openStateFolder(folder);
    if (opened.ok) throw new Error(`${folder} was opened`);
    expect(stateFaultWords(opened.fault)).toBe(
      `the state folder ${folder} cannot be written: ${reason}; see to that, or name another with STATE=FOLDER`,
    );
  }
});
