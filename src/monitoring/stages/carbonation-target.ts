/**
 * Carbonation that has reached its volumes, in a closed vessel without a gas supply: with one, head pressure is set
 * by the regulator at once and says nothing of what the drink has taken up. Pure: no I/O, no clock.
 */

import type { Happening } from '../watched.ts';
import { duration, gaugePressure, trim } from '../words/spoken.ts';
import { limitOf } from './limits.ts';
import type { StageView } from './stage-view.ts';

export type Carbonated = {
  /** Whether it has been below its target, so that it can reach it. */
  readonly below: boolean;
  /** Unix seconds since which it has been at its target; null while it is not. */
  readonly since: number | null;
  readonly told: boolean;
};

export const notCarbonated: Carbonated = { below: false, since: null, told: false };

/** At its target within so many volumes, the step in which people set it. Chosen by us. */
const nearVolumes = 0.05;
/** It must stay there so long: the gas of a shaken or warming keg settles within hours. Chosen by us. */
const staysSeconds = 6 * 3600;

export const carbonated = (
  before: Carbonated,
  view: StageView,
): { readonly memory: Carbonated; readonly happening: Happening | null } => {
  const target = limitOf(view.watched, 'keg', 'targetVolumes');
  const { pressure } = view;
  const quiet = { memory: before, happening: null };
  if (target === null || pressure === null || pressure.volumes === null || before.told)
    return quiet;
  if (view.watched.vessel.gasConnected || pressure.at < view.since) return quiet;
  const { volumes, at } = pressure;
  if (volumes < target - nearVolumes) {
    return { memory: { below: true, since: null, told: false }, happening: null };
  }
  if (!before.below) return quiet;
  const since = before.since ?? at;
  if (at - since < staysSeconds) return { memory: { ...before, since }, happening: null };
  return {
    memory: { ...before, since, told: true },
    happening: {
      kind: 'carbonation-reached',
      at: view.now,
      words: `The drink holds ${trim(volumes, 2)} volumes of carbon dioxide by its head pressure of ${gaugePressure(pressure.gaugePressurePascal)}, for ${duration(at - since)}; ${trim(target, 2)} were asked for.`,
    },
  };
};
