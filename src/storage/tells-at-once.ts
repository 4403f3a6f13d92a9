/**
 * Whether a receiver is told of a piece of news the moment it comes. Where its duty has conditions, a call is
 * remembered, so that it is not made again when its turn comes. Inside the caller's transaction, after the
 * alarm was written among the standing ones.
 */
import {
  hearsFlood,
  hearsHappening,
  hearsStep,
  isUnconditional,
} from '../monitoring/alarms/duty.ts';
import { callsSince } from './alarm-history.ts';
import { calledSince, markCalled } from './call-table.ts';
import type { News } from './news.ts';
import type { ReceiverDuty } from './receiver-table.ts';

export const tellsAtOnce = (
  sql: SqlStorage,
  { id, duty }: ReceiverDuty,
  news: News,
  now: number,
): boolean => {
  if (news.body.kind === 'flood') return hearsFlood(duty, news.body.change.flood.vessels, now);
  if (!('vessel' in news)) return false;
  const { vessel, body } = news;
  if (body.kind === 'happening') return hearsHappening(duty, vessel, now);
  if (body.kind !== 'alarm') return false;
  const { alarm, priority } = body.change.alarm;
  if (isUnconditional(duty)) return hearsStep(duty, { vessel, priority }, true, now);
  const called = calledSince(sql, id, vessel, alarm);
  const hears = hearsStep(duty, { vessel, priority }, called !== null, now);
  const since = callsSince(sql, vessel, alarm);
  if (since === null || since === called) return hears;
  // One whose turn comes later is called by the wake-up alone, also when the alarm calls again.
  if (duty.afterMinutes > 0) return false;
  if (hears) markCalled(sql, id, { vessel, alarm, since });
  return hears;
};
