/**
 * Numbered pennants above a chart, in as many rows as it takes for none to cover another on a phone. Beyond the last
 * row a mark keeps its upright line and loses its number; the list has it. Pure: no I/O, no clock.
 */
export type Pennant = {
  /** Per cent of the width. */
  readonly x: number;
  readonly number: number;
  readonly row: number;
  /** Towards the left where the edge is near. */
  readonly flipped: boolean;
};

/** Width of a pennant in per cent of the plot of a phone between two axes: 24 of 245 pixels. */
export const pennantWidth = 9.8;
const mostRows = 4;

export const pennantsOf = (
  places: readonly { readonly x: number; readonly number: number }[],
): readonly Pennant[] => {
  const taken: number[] = [];
  return places.flatMap(({ x, number }) => {
    const flipped = x > 100 - pennantWidth;
    const from = flipped ? x - pennantWidth : x;
    for (let row = 0; row < mostRows; row += 1) {
      if (from < (taken[row] ?? Number.NEGATIVE_INFINITY)) continue;
      taken[row] = from + pennantWidth;
      return [{ x, number, row, flipped }];
    }
    return [];
  });
};

export const pennantRows = (pennants: readonly Pennant[]): number =>
  pennants.reduce((most, { row }) => Math.max(most, row + 1), 0);
