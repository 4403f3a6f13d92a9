/** Seeded random numbers, so that every simulated case can be made again. Uniform: mulberry32 (T. Ettinger). */
export type Dice = {
  readonly uniform: (low: number, high: number) => number;
  readonly normal: (mean: number, sd: number) => number;
  readonly chance: (share: number) => boolean;
  readonly pick: <Item>(items: readonly [Item, ...Item[]]) => Item;
};

export const dice = (seed: number): Dice => {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
  return {
    uniform: (low, high) => low + (high - low) * next(),
    // Box and Muller, Ann. Math. Stat. 29 (1958) 610.
    normal: (mean, sd) =>
      mean + sd * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (share) => next() < share,
    pick: (items) => items[Math.floor(next() * items.length)] ?? items[0],
  };
};
