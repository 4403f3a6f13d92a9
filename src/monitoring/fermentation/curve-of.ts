/** The fitted curve and its forecast for a chart, as the sensor would read it. Pure: no I/O, no clock. */
import { readingAt } from '../../science/attenuation-curve.ts';
import type { Estimate } from '../../science/estimate.ts';
import type { WatchState } from '../watch-state.ts';
import type { Watched } from '../watched.ts';

/** Null where there is no fit. */
export const curveOf = (
  _watched: Watched,
  state: WatchState,
  times: readonly number[],
): readonly Estimate[] | null => {
  const { fit } = state.fermentation;
  return fit === null ? null : times.map((time) => readingAt(fit, time));
};
