/** Small figures that the score is made of. Empty lists give null, as nothing was there to measure. Pure. */

/** Quantile by linear interpolation between order statistics, R. J. Hyndman and Y. Fan, Am. Stat. 50 (1996) 361, type 7. */
export const quantile = (values: readonly number[], share: number): number | null => {
  const sorted = values.toSorted((a, b) => a - b);
  const place = (sorted.length - 1) * share;
  const below = sorted[Math.floor(place)];
  if (below === undefined) return null;
  const above = sorted[Math.min(Math.floor(place) + 1, sorted.length - 1)] ?? below;
  return below + (above - below) * (place - Math.floor(place));
};

/** A share of none is 0, as the scored files have it. */
export const shareOf = (part: number, whole: number): number => part / Math.max(1, whole);

export const per100 = (part: number, whole: number): number => (100 * part) / Math.max(1, whole);

export const meanOf = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;

export const count = <Item>(items: readonly Item[], is: (item: Item) => boolean): number =>
  items.filter(is).length;

/** "3/4" for each name, in order of the names. */
export const ratios = (
  counted: ReadonlyMap<string, readonly [number, number]>,
): Readonly<Record<string, string>> =>
  Object.fromEntries(
    [...counted]
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, [part, whole]]) => [name, `${part}/${whole}`]),
  );
