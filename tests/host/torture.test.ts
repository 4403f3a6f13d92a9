/**
 * The torture in its shorter form: few rounds of kill -9, and each of its other parts once. Its own control,
 * a store that forgets, is one of them. Dice of one seed; other seeds are for `npm run torture`.
 */
import { join } from 'node:path';
import { beforeAll, expect, test } from 'vitest';
import { freshBuild } from './fresh-build.ts';
import { started } from './started.ts';

const tortureScript = join(import.meta.dirname, '../../src/host/torture.ts');

beforeAll(freshBuild, 60_000);

test('nothing acknowledged is lost, every due alarm comes once, and the control finds losses', async () => {
  const one = started(tortureScript, ['--rounds', '2', '--seed', '7'], {});
  const code = await one.ended;
  expect(one.lines.filter((line) => line.startsWith('FAILS'))).toEqual([]);
  // Two of the kills, three of one shortage at least, five of the logs, three of the clock, the control.
  expect(one.lines.filter((line) => line.startsWith('holds')).length).toBeGreaterThanOrEqual(14);
  expect(one.lines.at(-1)).toBe('verdict: nothing acknowledged was lost');
  expect(code).toBe(0);
}, 900_000);

test.each([
  [['--rounds', 'many'], /--rounds is many/],
  [['--seeds', '3'], /seeds/],
])('arguments %j are refused in one line', async (args, words) => {
  const one = started(tortureScript, args, {});
  expect(await one.ended).toBe(1);
  const errors = one.errors.filter((line) => line.startsWith('torture:'));
  expect(errors).toHaveLength(1);
  expect(errors[0]).toMatch(words);
});
