/** The platform's own timer on real time, which the driven clock of the other tests never meets. */
import { runInDurableObject } from 'cloudflare:test';
import { expect, test } from 'vitest';
import { cellarStub } from '../../src/storage/env.ts';
import { setWakeUp } from '../../src/storage/wake-up.ts';
import { testEnv } from '../web/cellar-fixture.ts';

const { CLOCK: _, ...realTime } = testEnv;

test.each([0, 1, 1_700_000_000])(
  'what has been due since second %d is due at once: the platform takes no time of 0',
  (dueSeconds) =>
    runInDurableObject(
      cellarStub(testEnv, `never-founded-${dueSeconds}`),
      async (_instance, { storage }) => {
        const before = Date.now();
        await setWakeUp(storage, realTime, dueSeconds);
        expect(await storage.getAlarm()).toBeGreaterThanOrEqual(before);
        await storage.deleteAlarm();
      },
    ),
);

test('a timer set for an earlier moment is left alone, and a later one is moved forward', () =>
  runInDurableObject(cellarStub(testEnv, 'never-founded'), async (_instance, { storage }) => {
    const soon = Math.ceil(Date.now() / 1000) + 3600;
    await setWakeUp(storage, realTime, soon);
    await setWakeUp(storage, realTime, soon + 60);
    expect(await storage.getAlarm()).toBe(soon * 1000);
    await setWakeUp(storage, realTime, soon - 60);
    expect(await storage.getAlarm()).toBe((soon - 60) * 1000);
    await storage.deleteAlarm();
  }));

test('a timer that was due long ago and never came is set again', () =>
  runInDurableObject(cellarStub(testEnv, 'never-founded'), async (_instance, { storage }) => {
    const before = Date.now();
    await storage.setAlarm(before - 60_000);
    await setWakeUp(storage, realTime, before / 1000 + 60);
    expect(await storage.getAlarm()).toBeGreaterThanOrEqual(before);
    await storage.deleteAlarm();
  }));
