/**
 * The words for an alarm: what it is called, what its priority asks, where it stands, what happened to it, and what
 * its judgement rests on. One place, read by the page, the webhook and the terminal. Pure data.
 */
import type { AlarmKind, AlarmState, AlarmTransition, Priority } from './alarm.ts';

export const alarmTitles = {
  stall: 'Fermentation has stalled',
  sluggish: 'Fermentation is sluggish',
  'over-pressure': 'Over-pressure',
  'over-pressure-ahead': 'Over-pressure ahead',
  refermentation: 'Refermentation',
  leak: 'Losing pressure',
  temperature: 'Temperature out of its band',
  'silent-sensor': 'Sensor is silent',
  'stuck-sensor': 'Sensor is stuck',
  'misreading-sensor': 'Sensor reads beside the samples',
  overshoot: 'Mash too hot',
  'time-reached': 'Step is over',
  'not-boiling': 'Not boiling',
  'slow-cooling': 'Cools too slowly',
  'too-warm-to-pitch': 'Too warm to pitch',
  'blocked-vent': 'Vent is blocked',
  'gravity-movement': 'Gravity moves after the finish',
  'pressure-band': 'Pressure out of its band',
  'food-safety': 'Past a food-safety limit',
  'food-safety-ahead': 'Food-safety limit ahead',
  'low-acid': 'Not sour enough to be safe',
  'overdue-topping': 'Topping is overdue',
  'overdue-test': 'Sulphur dioxide test is overdue',
  'refermentation-potential': 'Could referment in its closed vessel',
  'relief-chatter': 'Relief valve chatters',
  'air-danger': 'Air is dangerous: leave the room',
  'air-short-term': 'Air is bad: leave the room',
  'air-working-day': 'Too much carbon dioxide over the working day',
  'low-oxygen': 'Too little oxygen: leave the room',
} as const satisfies Record<AlarmKind, string>;

/**
 * What the rank asks of a person, with the standard word for it. "Act", not "go": where air is bad or a vessel is
 * over its rating the first act is to stay away.
 */
export const priorityWords = {
  high: 'High: act at once',
  medium: 'Medium: see to it today',
  low: 'Low: at the next visit',
} as const satisfies Record<Priority, string>;

export const priorityNames = {
  high: 'High',
  medium: 'Medium',
  low: 'Low',
} as const satisfies Record<Priority, string>;

export const alarmStateWords = {
  normal: 'normal',
  unacknowledged: 'not acknowledged',
  acknowledged: 'acknowledged',
  'returned-unacknowledged': 'back to normal, not acknowledged',
  'latched-unacknowledged': 'over, latched, not acknowledged',
  'latched-acknowledged': 'over, latched until it is reset',
  shelved: 'shelved',
  suppressed: 'set aside in this stage',
  'out-of-service': 'out of service',
} as const satisfies Record<AlarmState, string>;

export const transitionWords = {
  raised: 'raised',
  worsened: 'has become more urgent',
  're-alarmed': 'still stands, and asks again',
  returned: 'returned to normal',
  latched: 'is over, and waits for its reset',
  acknowledged: 'acknowledged',
  reset: 'reset',
  shelved: 'shelved',
  unshelved: 'taken off the shelf',
  suppressed: 'set aside in this stage',
  unsuppressed: 'watched again',
  'removed-from-service': 'taken out of service',
  'returned-to-service': 'back in service',
} as const satisfies Record<AlarmTransition, string>;

/**
 * What the judgement of a kind rests on: the formula's source, or plainly that none is used. A finding that brings
 * its own source needs none here.
 */
export const alarmBasis: Readonly<Partial<Record<AlarmKind, string>>> = {
  stall:
    'Slope of gravity by a resistant line (Tukey 1977) against the pace that the distance to terminal gravity asks for; the curve is fitted by least squares to half-hour medians. The limits are ours, set by simulated fermentations.',
  sluggish:
    'Share of the distance to the expected terminal fermented in a day, by a resistant line through two days (Tukey 1977), against the slowest that is usual for the drink. The limits are ours, set by simulated fermentations.',
  'over-pressure':
    'Measured gauge pressure against the rating that the cellar noted from the nameplate; no formula. The margins are ours.',
  'over-pressure-ahead':
    "Gas by mass balance over liquid and headspace (Henry's law after Carroll, Slupsky and Mather 1991), warming by Newton's law of heating; the chances are ours.",
  refermentation:
    "Pressure freed of temperature by Henry's law (Carroll, Slupsky and Mather 1991), its rise by a resistant line (Tukey 1977). The limits are ours.",
  leak: "Pressure freed of temperature by Henry's law (Carroll, Slupsky and Mather 1991), its fall by a resistant line (Tukey 1977), held by likelihood ratio against falls that rest for part of each day. The limits are ours.",
  temperature:
    'Measured temperature against the band that the cellar gave, or against the batch’s own usual temperature; no formula.',
  'silent-sensor':
    'The usual span between arrivals of this sensor, by its median; the factor is ours.',
  'stuck-sensor':
    'The chance of so many equal readings in a row, taking readings as independent; the limit is ours.',
  'misreading-sensor':
    'The median of readings within three hours of each sample taken by hand; the limits are ours.',
};
