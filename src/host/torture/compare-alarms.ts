/**
 * Lays the cellar's history beside the alarms that had to come and the deliveries that arrived.
 * Pure: no I/O, no clock.
 */
import type { AlarmKind, AlarmTransition } from '../../monitoring/alarms/alarm.ts';

/** An alarm that had to be raised in a vessel exactly once. */
export type DueAlarm = { readonly vessel: string; readonly kind: AlarmKind };

/** An entry of the cellar's history that tells a step of an alarm. */
export type HistoryStep = {
  readonly id: string;
  readonly vessel: string;
  readonly alarm: string;
  readonly kind: AlarmKind;
  readonly occurrence: number;
  readonly transition: AlarmTransition;
};

export type AlarmFindings = {
  readonly due: number;
  readonly raised: number;
  readonly notRaised: number;
  /** Raised once more for the same occurrence, or an alarm that was due once and came again. */
  readonly raisedTwice: number;
  /** Entries of the history, of whatever kind, that no receiver was told. */
  readonly notDelivered: number;
  /** Deliveries under an id that the history does not have. */
  readonly deliveredUnknown: number;
  readonly deliveries: number;
  /** News that arrived more than once, under the same id. */
  readonly deliveredAgain: number;
};

export const compareAlarms = (
  due: readonly DueAlarm[],
  history: readonly HistoryStep[],
  /** Ids of all that the history tells, happenings and floods too. */
  ids: ReadonlySet<string>,
  deliveries: ReadonlyMap<string, number>,
): AlarmFindings => {
  const raised = history.filter(({ transition }) => transition === 'raised');
  const timesOf = ({ vessel, kind }: DueAlarm): number =>
    raised.filter((step) => step.vessel === vessel && step.kind === kind).length;
  const occurrences = new Set(
    raised.map(({ vessel, alarm, occurrence }) => `${vessel} ${alarm} ${occurrence}`),
  );
  const again = due.map((one) => Math.max(0, timesOf(one) - 1)).reduce((sum, n) => sum + n, 0);
  return {
    due: due.length,
    raised: raised.length,
    notRaised: due.filter((one) => timesOf(one) === 0).length,
    raisedTwice: again + raised.length - occurrences.size,
    notDelivered: [...ids].filter((id) => !deliveries.has(id)).length,
    deliveredUnknown: [...deliveries.keys()].filter((id) => !ids.has(id)).length,
    deliveries: [...deliveries.values()].reduce((sum, times) => sum + times, 0),
    deliveredAgain: [...deliveries.values()].filter((times) => times > 1).length,
  };
};

export const alarmsHold = (findings: AlarmFindings): boolean =>
  findings.due > 0 &&
  findings.notRaised === 0 &&
  findings.raisedTwice === 0 &&
  findings.notDelivered === 0 &&
  findings.deliveredUnknown === 0;

export const alarmsInWords = (findings: AlarmFindings): string =>
  `${findings.due} alarms due: ${findings.notRaised} not raised, ${findings.raisedTwice} raised twice; ` +
  `of all news ${findings.notDelivered} not delivered, ${findings.deliveredUnknown} under an unknown id; ` +
  `${findings.deliveries} deliveries, ${findings.deliveredAgain} pieces of news came again under their id`;
