/** Random numbers from a seed, so that a failure can be repeated: mulberry32 (T. Ettinger, public domain). */
export type Random = {
  /** From 0 up to and without 1. */
  readonly share: () => number;
  /** A whole number from 0 up to and without the bound. */
  readonly below: (bound: number) => number;
  readonly pick: <One>(from: readonly One[]) => One;
  readonly chance: (share: number) => boolean;
};

export const randomFrom = (seed: number): Random => {
  let state = seed >>> 0;
  const share = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const below = (bound: number): number => Math.floor(share() * bound);
  return {
    share,
    below,
    pick: (from) => {
      const [first] = from;
      if (first === undefined) throw new Error('nothing to pick from');
      return from[below(from.length)] ?? first;
    },
    chance: (of) => share() < of,
  };
};
