/**
 * Which alarm kinds belong to which stages, and what becomes of them when the batch moves on: most are set aside
 * with their stage. A passed food-safety limit stays with the batch, since moving it on makes nothing safe. Bad air
 * is bad whatever is in the vessel, and belongs to no stage. Pure data.
 */
import type { AlarmKind } from '../alarms/alarm.ts';
import type { Stage } from '../batch.ts';

/** The stages in which a kind is watched; a kind that is missing here belongs to no stage. */
export const stagesOfKind = {
  overshoot: ['mash-rest'],
  'time-reached': ['mash-rest', 'boil', 'cold-steep'],
  'not-boiling': ['boil'],
  'slow-cooling': ['cooling'],
  'too-warm-to-pitch': ['fermentation'],
  'blocked-vent': ['fermentation', 'conditioning', 'keg'],
  'gravity-movement': ['conditioning'],
  'pressure-band': ['conditioning', 'keg'],
  'food-safety-ahead': ['cold-steep'],
  'low-acid': ['cold-steep'],
  'overdue-topping': ['ageing'],
  'overdue-test': ['ageing'],
  'refermentation-potential': ['conditioning', 'blending', 'keg'],
  'relief-chatter': ['conditioning', 'keg'],
} as const satisfies Partial<Record<AlarmKind, readonly Stage[]>>;

/** Kinds whose condition belongs to one stage: in the next it begins anew, even where the next has the kind too. */
export const endsWithStage: ReadonlySet<AlarmKind> = new Set([
  'overshoot',
  'time-reached',
  'not-boiling',
  'slow-cooling',
  'too-warm-to-pitch',
  'gravity-movement',
  'pressure-band',
  'food-safety-ahead',
  'low-acid',
  'overdue-topping',
  'overdue-test',
]);
