/**
 * Tries with a key that opens nothing, counted by the address they come from and for the cellar as a whole. Past a
 * budget the answer says how long to wait. A right key is never kept waiting, so that nobody can lock a cellar's own
 * sensors out; what keeps guesses out is the 256 bits of a key, and this keeps the noise of a stranger or of a
 * misconfigured device down. In memory, since a row for each try would cost what it protects. No I/O, no clock.
 */

type Budget = {
  /** Tries that may come at once. */
  readonly burst: number;
  readonly perSecond: number;
};

/** Chosen by us: a person mistypes a few times; a device with a wrong key keeps the pace of one in ten seconds. */
const ofAddress: Budget = { burst: 20, perSecond: 0.1 };

/** Chosen by us: ten addresses at once. Lower would let one stranger slow the wrong tries of all others. */
const ofCellar: Budget = { burst: 200, perSecond: 1 };

/** Addresses remembered; past them all others share one budget. Chosen by us: under 100 kB. */
const rememberedAddresses = 1000;

type Bucket = { readonly left: number; readonly at: number };

const filled = (bucket: Bucket | undefined, { burst, perSecond }: Budget, now: number): number =>
  bucket === undefined
    ? burst
    : Math.min(burst, bucket.left + Math.max(0, now - bucket.at) * perSecond);

export class FailedTries {
  readonly #byAddress = new Map<string, Bucket>();
  #cellar: Bucket | undefined;

  /** Counts one more; null while it is within both budgets, else the seconds to wait. */
  count(address: string, now: number): number | null {
    const key = this.#keyOf(address, now);
    const left = filled(this.#byAddress.get(key), ofAddress, now);
    if (left < 1) return Math.ceil((1 - left) / ofAddress.perSecond);
    this.#byAddress.set(key, { left: left - 1, at: now });
    const all = filled(this.#cellar, ofCellar, now);
    if (all < 1) return Math.ceil((1 - all) / ofCellar.perSecond);
    this.#cellar = { left: all - 1, at: now };
    return null;
  }

  #keyOf(address: string, now: number): string {
    if (this.#byAddress.has(address) || this.#byAddress.size < rememberedAddresses) return address;
    for (const [other, bucket] of this.#byAddress)
      if (filled(bucket, ofAddress, now) >= ofAddress.burst) this.#byAddress.delete(other);
    return this.#byAddress.size < rememberedAddresses ? address : 'others';
  }
}
