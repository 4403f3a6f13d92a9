/**
 * Whether this place works, found out by doing it: writes to storage and waits for the write, and plans a
 * wake-up and sees that it came. Belongs to an object of its own that is no cellar. Real time, since it is
 * the machine that is asked about.
 */

export type Health = {
  readonly storage: 'ok' | 'failing';
  readonly wakeUps: 'ok' | 'late';
};

type Probe = { readonly at: number; readonly planned: number | null };

const key = 'probe';

/** Chosen by us: often enough to notice within a few minutes, and a row or two written a minute. */
const planAheadMilliseconds = 60_000;
/** Chosen by us: the platform says that a wake-up may be up to a minute late. */
const graceMilliseconds = 60_000;

export const probeHealth = async (storage: DurableObjectStorage, now: number): Promise<Health> => {
  try {
    const before = await storage.get<Probe>(key);
    const planned = before?.planned ?? null;
    const next = planned ?? now + planAheadMilliseconds;
    if (planned === null || (await storage.getAlarm()) === null) await storage.setAlarm(next);
    await storage.put<Probe>(key, { at: now, planned: next });
    await storage.sync();
    const late = planned !== null && now > planned + graceMilliseconds;
    return { storage: 'ok', wakeUps: late ? 'late' : 'ok' };
  } catch {
    return { storage: 'failing', wakeUps: 'ok' };
  }
};

/** The planned wake-up has come; nothing where this object was never probed. */
export const probeWoke = async (storage: DurableObjectStorage, now: number): Promise<void> => {
  if ((await storage.get<Probe>(key)) !== undefined)
    await storage.put<Probe>(key, { at: now, planned: null });
};
