/**
 * What is remembered of one channel: its newest reading and the rhythm in which readings come.
 * Constant size. Pure: no I/O, no clock.
 */
import type { Point } from '../watched.ts';

export type ChannelMemory = {
  /** Readings since the memory began. */
  readonly count: number;
  /** The newest reading by time of measurement. */
  readonly time: number;
  readonly value: number;
  /** The reading before the newest; null while there is one only. */
  readonly previous: number | null;
  /** Unix seconds at which readings of this channel last arrived. */
  readonly arrivedAt: number;
  /** The latest spans between arrivals, newest last. */
  readonly arrivalGaps: readonly number[];
};

/** Enough for a median that one lost packet does not move; more would follow a changed rhythm late. */
const gapsKept = 9;

/** Takes the readings of one channel that arrived together, in order of measurement. */
export const remember = (
  memory: ChannelMemory | undefined,
  arrived: readonly Point[],
  now: number,
): ChannelMemory | undefined => {
  const newest = arrived.at(-1);
  if (newest === undefined) return memory;
  if (memory === undefined) {
    return {
      count: arrived.length,
      time: newest.time,
      value: newest.value,
      previous: arrived.at(-2)?.value ?? null,
      arrivedAt: now,
      arrivalGaps: [],
    };
  }
  const ahead = newest.time >= memory.time;
  const gap = now - memory.arrivedAt;
  return {
    count: memory.count + arrived.length,
    time: ahead ? newest.time : memory.time,
    value: ahead ? newest.value : memory.value,
    previous: ahead ? (arrived.at(-2)?.value ?? memory.value) : memory.previous,
    arrivedAt: now,
    arrivalGaps: gap > 0 ? [...memory.arrivalGaps, gap].slice(-gapsKept) : memory.arrivalGaps,
  };
};

/** The usual span between arrivals in seconds; null until two spans are known. */
export const usualGap = (memory: ChannelMemory): number | null => {
  if (memory.arrivalGaps.length < 2) return null;
  const sorted = [...memory.arrivalGaps].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? null;
};
