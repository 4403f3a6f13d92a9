/**
 * Loads the worker before the first test of a file begins: its modules come one by one through the test
 * server, which takes seconds on a busy machine and is no part of what a test waits for.
 */
import { beforeAll } from 'vitest';
import { ask } from './cellar-fixture.ts';

beforeAll(async () => {
  await ask('/healthz');
}, 60_000);
