/** A value with the bounds of its 90 % band. */
export type Estimate = { readonly value: number; readonly low: number; readonly high: number };
