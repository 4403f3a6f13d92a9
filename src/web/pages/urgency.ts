/**
 * Who comes first on the cellar page: vessels that need a person, most urgent on top, then those in
 * hand, those ready for their next step, those under way, and the empty. Pure: no I/O, no clock.
 */
import type { Alarm, Priority } from '../../monitoring/alarms/alarm.ts';
import { asks } from '../../monitoring/alarms/alarm-standing.ts';
import { type CellarRow, stageOf } from './headline.ts';

export type Need = 'needs' | 'inHand' | 'ready' | 'underWay' | 'empty';

const needsInOrder = [
  'needs',
  'inHand',
  'ready',
  'underWay',
  'empty',
] as const satisfies readonly Need[];

const priorityRank = { high: 0, medium: 1, low: 2 } as const satisfies Record<Priority, number>;

/** Unanswered before over but waiting before answered; within each the priority, then the longest standing. */
const alarmRank = (alarm: Alarm): number => {
  const answered = alarm.state === 'unacknowledged' ? 0 : asks(alarm.state) ? 3 : 6;
  return answered + priorityRank[alarm.priority];
};

export const byUrgency = (one: Alarm, other: Alarm): number =>
  alarmRank(one) - alarmRank(other) || one.raisedAt - other.raisedAt;

/** An alarm that stands, with the short name of its vessel. */
export type StandingAlarm = Alarm & { readonly vessel: string };

export const standingOf = (row: CellarRow): readonly Alarm[] =>
  row.status.alarms.filter((alarm) => alarm.state !== 'normal').toSorted(byUrgency);

export const needOf = (row: CellarRow): Need => {
  const standing = standingOf(row);
  if (standing.some(({ state }) => asks(state))) return 'needs';
  if (standing.length > 0) return 'inHand';
  if (stageOf(row) === 'fermentation' && row.status.fermentation?.phase === 'finished')
    return 'ready';
  return row.batch === null && row.vessel.kind !== 'room' ? 'empty' : 'underWay';
};

const firstAlarmRank = (row: CellarRow): number => {
  const first = standingOf(row)[0];
  return first === undefined ? 9 : alarmRank(first);
};

/** Groups in order of need, empty groups left out; within a group by urgency, then by name. */
export const inOrderOfNeed = (
  rows: readonly CellarRow[],
): readonly { readonly need: Need; readonly rows: readonly CellarRow[] }[] =>
  needsInOrder
    .map((need) => ({
      need,
      rows: rows
        .filter((row) => needOf(row) === need)
        .toSorted(
          (one, other) =>
            firstAlarmRank(one) - firstAlarmRank(other) ||
            one.vessel.title.localeCompare(other.vessel.title, 'en'),
        ),
    }))
    .filter((group) => group.rows.length > 0);
