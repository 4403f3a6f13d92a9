/** What came of readings that were sent, summed over the tail and the blocks. No I/O, no clock. */
import type { Channel } from '../science/units/channel.ts';
import type { MergedPoints, PointCorrection } from './packed/merge-points.ts';
import type { StoredReading } from './reading-series.ts';

export type StoredCounts = {
  readonly stored: number;
  readonly repeated: number;
  readonly corrected: number;
};

export type StoreOutcome = {
  /** What changed, to be judged, in the order in which it was sent. */
  readonly changed: readonly StoredReading[];
  readonly counts: StoredCounts;
  /** Readings of hours of which only least, mean and greatest value are kept; not stored. */
  readonly thinned: number;
};

/** What came of some readings of one channel. */
export type Part = Omit<MergedPoints, 'points'> & {
  /** Readings of hours that were thinned. */
  readonly thinned: number;
};

export class Tally {
  readonly corrections = new Map<Channel, PointCorrection[]>();
  readonly #changed = new Map<Channel, Set<number>>();
  #fresh = 0;
  #repeated = 0;
  #corrected = 0;
  #thinned = 0;

  get counts(): StoredCounts & { readonly thinned: number } {
    return {
      stored: this.#fresh,
      repeated: this.#repeated,
      corrected: this.#corrected,
      thinned: this.#thinned,
    };
  }

  add(channel: Channel, part: Part): void {
    this.#fresh += part.fresh.length;
    this.#repeated += part.repeated;
    this.#corrected += part.corrections.length;
    this.#thinned += part.thinned;
    const changed = this.#changed.get(channel) ?? new Set();
    this.#changed.set(channel, changed);
    for (const time of part.fresh) changed.add(time);
    for (const { time } of part.corrections) changed.add(time);
    if (part.corrections.length > 0)
      this.corrections.set(channel, [
        ...(this.corrections.get(channel) ?? []),
        ...part.corrections,
      ]);
  }

  outcome(readings: readonly StoredReading[]): StoreOutcome {
    const { thinned, ...counts } = this.counts;
    return {
      changed:
        counts.stored === readings.length
          ? readings
          : readings.filter(({ channel, time }) => this.#changed.get(channel)?.has(time)),
      counts,
      thinned,
    };
  }
}
