/**
 * A vessel's object on a clock of its own, with its rows written and its timer under the test's eye.
 * The code under test is that of production: real tables, a clock that is not driven, wake-ups called
 * at the moment for which the timer was set.
 */
import { runInDurableObject } from 'cloudflare:test';
import { vi } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import { VesselObject } from '../../src/storage/vessel-object.ts';
import { testEnv } from '../web/cellar-fixture.ts';

export type Counted = {
  readonly vessel: VesselObject;
  readonly sql: SqlStorage;
  /** Rows written so far, each set of the timer counted as one, as the platform bills it. */
  readonly rowsWritten: () => number;
  readonly wakeUps: () => number;
  /** Moves the clock and calls each wake-up when it is due. */
  readonly passTo: (seconds: number) => Promise<void>;
  /** Moves the clock while nobody is there: no wake-up is called. */
  readonly sleepTo: (seconds: number) => void;
  /** Starts the object afresh from its rows, as after an eviction or a crash. */
  readonly restart: () => Promise<Counted>;
};

/** Runs on a vessel that exists; its cellar answers on the driven clock. */
export const withCountedObject = (
  cellar: string,
  name: string,
  begin: number,
  work: (counted: Counted) => Promise<void>,
): Promise<void> =>
  runInDurableObject(vesselStub(testEnv, cellar, name), async (_instance, state) => {
    const { CLOCK: _, ...env } = testEnv;
    const { storage } = state;
    let clock = begin;
    let timer: number | null = null;
    let written = 0;
    let wakeUps = 0;
    const kept = {
      exec: storage.sql.exec,
      setAlarm: storage.setAlarm,
      getAlarm: storage.getAlarm,
    };
    const now = vi.spyOn(Date, 'now').mockImplementation(() => clock * 1000);
    storage.sql.exec = ((query: string, ...bindings: unknown[]) => {
      const cursor = kept.exec.call(storage.sql, query, ...bindings);
      written += cursor.rowsWritten;
      return cursor;
    }) as typeof storage.sql.exec;
    storage.setAlarm = async (moment) => {
      timer = Number(moment) / 1000;
      written += 1;
    };
    storage.getAlarm = async () => (timer === null ? null : timer * 1000);
    const start = async (): Promise<Counted> => {
      const vessel = new VesselObject(state, env);
      await state.blockConcurrencyWhile(async () => undefined);
      const counted: Counted = {
        vessel,
        sql: storage.sql,
        rowsWritten: () => written,
        wakeUps: () => wakeUps,
        passTo: async (seconds) => {
          while (timer !== null && timer <= seconds) {
            clock = Math.max(clock, timer);
            timer = null;
            wakeUps += 1;
            await vessel.alarm();
          }
          clock = seconds;
        },
        sleepTo: (seconds) => {
          clock = seconds;
        },
        restart: start,
      };
      return counted;
    };
    try {
      await work(await start());
    } finally {
      now.mockRestore();
      Object.assign(storage.sql, { exec: kept.exec });
      Object.assign(storage, { setAlarm: kept.setAlarm, getAlarm: kept.getAlarm });
    }
  });
