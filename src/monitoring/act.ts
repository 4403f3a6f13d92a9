/**
 * What a person does to an alarm: acknowledge it, reset a latched one, shelve it for a time and take it off the
 * shelf, take it out of service and put it back. Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import type { Alarm } from './alarms/alarm.ts';
import { send } from './alarms/alarm-board.ts';
import type { AlarmEvent } from './alarms/alarm-machine.ts';
import {
  longestReAlarmSeconds,
  shortestReAlarmSeconds,
  usualReAlarmSeconds,
} from './alarms/re-alarm.ts';
import { longestShelfSeconds } from './alarms/shelving.ts';
import type { Verdict } from './verdict.ts';
import type { WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

type Deed = {
  readonly alarm: string;
  readonly by: string;
  readonly note?: string | null;
};

export type Act =
  | (Deed & {
      readonly kind: 'acknowledge';
      /** Unix seconds at which it asks again if it still stands; null for what its priority makes usual. */
      readonly reAlarmAt?: number | null;
    })
  | (Deed & { readonly kind: 'reset' })
  | (Deed & { readonly kind: 'shelve'; readonly until: number })
  | (Deed & { readonly kind: 'unshelve' })
  /** The note is the reason, which ISA-18.2 asks for. */
  | (Deed & { readonly kind: 'remove-from-service'; readonly note: string })
  | (Deed & { readonly kind: 'return-to-service' });

export type ActFault =
  | { readonly kind: 'no-such-alarm'; readonly alarm: string }
  | {
      readonly kind: 'not-possible';
      readonly alarm: string;
      readonly act: Act['kind'];
      readonly state: Alarm['state'];
    }
  | {
      readonly kind: 'time-out-of-bounds';
      readonly alarm: string;
      readonly field: 'until' | 'reAlarmAt';
      readonly found: number;
      readonly earliest: number;
      readonly latest: number;
      readonly priority: Alarm['priority'];
    };

export const act = (
  _watched: Watched,
  state: WatchState,
  act: Act,
  now: number,
): Result<Verdict, ActFault> => {
  // A name that everything inherits, such as toString, is no alarm.
  const entry = Object.hasOwn(state.board, act.alarm) ? state.board[act.alarm] : undefined;
  if (entry === undefined || entry.alarm.occurrence === 0) {
    return fail({ kind: 'no-such-alarm', alarm: act.alarm });
  }
  const outOfBounds = timeFault(act, entry.alarm, now);
  if (outOfBounds !== null) return fail(outOfBounds);
  const step = send(
    state.board,
    act.alarm,
    eventOf[act.kind],
    { at: now, by: act.by, note: act.note ?? null },
    (alarm) => amended(act, alarm, now),
  );
  return step === null
    ? fail({ kind: 'not-possible', alarm: act.alarm, act: act.kind, state: entry.alarm.state })
    : ok({ state: { ...state, board: step.board }, changes: step.changes, happenings: [] });
};

const eventOf = {
  acknowledge: 'acknowledge',
  reset: 'reset',
  shelve: 'shelve',
  unshelve: 'unshelve',
  'remove-from-service': 'remove-from-service',
  'return-to-service': 'return-to-service',
} as const satisfies Record<Act['kind'], AlarmEvent>;

const timeFault = (act: Act, { priority }: Alarm, now: number): ActFault | null => {
  const bounds = { alarm: act.alarm, kind: 'time-out-of-bounds', priority } as const;
  if (act.kind === 'shelve') {
    const latest = now + longestShelfSeconds[priority];
    return act.until > now && act.until <= latest
      ? null
      : { ...bounds, field: 'until', found: act.until, earliest: now, latest };
  }
  if (act.kind !== 'acknowledge') return null;
  const found = act.reAlarmAt ?? null;
  const earliest = now + shortestReAlarmSeconds;
  const latest = now + longestReAlarmSeconds[priority];
  return found === null || (found >= earliest && found <= latest)
    ? null
    : { ...bounds, field: 'reAlarmAt', found, earliest, latest };
};

const amended = (act: Act, alarm: Alarm, now: number): Alarm => {
  const setAside = { by: act.by, at: now, why: act.note ?? null };
  switch (act.kind) {
    case 'acknowledge':
      return {
        ...alarm,
        acknowledgedAt: now,
        acknowledgedBy: act.by,
        note: act.note ?? null,
        reAlarmAt: act.reAlarmAt ?? now + usualReAlarmSeconds[alarm.priority],
      };
    case 'shelve':
      return { ...alarm, shelvedUntil: act.until, setAside };
    case 'remove-from-service':
      return { ...alarm, setAside };
    case 'reset':
    case 'unshelve':
    case 'return-to-service':
      return alarm;
  }
};
