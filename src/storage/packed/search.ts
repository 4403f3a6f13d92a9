/** How many of the ascending numbers lie below a bound (or at it, with `including`). Pure. */
export const countBelow = (
  ascending: Float64Array,
  bound: number,
  including: 'below' | 'up-to' = 'below',
): number => {
  let low = 0;
  let high = ascending.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    const value = ascending[middle] ?? 0;
    if (value < bound || (including === 'up-to' && value === bound)) low = middle + 1;
    else high = middle;
  }
  return low;
};
