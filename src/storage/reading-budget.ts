/**
 * How many readings a key may send to one vessel: a bucket of tokens that fills at a steady rate and
 * holds a burst. A sensor gone wild, or a leaked key, cannot fill the disk of a vessel or keep its
 * object busy. Kept in memory, since a row per pack would cost what it protects: an object that is
 * started afresh begins with a full bucket, which needs the sender to have paused first.
 * Pure: no I/O, no clock.
 */

export type ReadingBudget = {
  readonly readingsPerMinute: number;
  /** Readings that may come at once after a pause. */
  readonly burst: number;
};

/**
 * Chosen by us. The rate is that of ten channels once a second: fifty times what a cellar's sensor
 * sends. The burst is two packs of the greatest length that the door accepts, which is a gateway's
 * backlog of a day and more. Lower would refuse honest backlogs, higher protects less.
 */
export const usualBudget: ReadingBudget = { readingsPerMinute: 600, burst: 20_000 };

/** Rounding of sums must not make a sender wait again that has waited as told. */
const roundingShare = 1e-6;

/** A bucket with nothing to say is as good as none; past this many keys the full ones are let go. */
const rememberedKeys = 1000;

type Bucket = { readonly left: number; readonly at: number };

export type Buckets = Map<string, Bucket>;

/** The budget with an operator's rate per minute, read from text; the usual one where it is no rate. */
export const budgetFrom = (readingsPerMinute: string | undefined): ReadingBudget => {
  const rate = Number(readingsPerMinute ?? '');
  if (!Number.isFinite(rate) || rate <= 0) return usualBudget;
  return { readingsPerMinute: rate, burst: Math.max(usualBudget.burst, rate) };
};

/**
 * Takes readings out of a key's bucket. Null where they were taken; else the seconds after which the
 * same pack will pass, and nothing is taken.
 */
export const spend = (
  buckets: Buckets,
  key: string,
  readings: number,
  now: number,
  { readingsPerMinute, burst }: ReadingBudget,
): number | null => {
  const perSecond = readingsPerMinute / 60;
  const fill = ({ left, at }: Bucket): number =>
    Math.min(burst, left + Math.max(0, now - at) * perSecond);
  const known = buckets.get(key);
  const left = known === undefined ? burst : fill(known);
  // A pack longer than any burst passes when the bucket is full, or it could never pass.
  const wanted = Math.min(readings, burst);
  if (left + roundingShare < wanted) return Math.ceil((wanted - left) / perSecond);
  if (known === undefined && buckets.size >= rememberedKeys)
    for (const [other, bucket] of buckets) if (fill(bucket) >= burst) buckets.delete(other);
  buckets.set(key, { left: Math.max(0, left - wanted), at: now });
  return null;
};
