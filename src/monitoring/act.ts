/**
 * What a person does to an alarm: acknowledge, shelve, unshelve, take out of service and return.
 * Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import type { Alarm } from './alarm.ts';
import { type BoardStep, send } from './alarm-board.ts';
import type { AlarmEvent } from './alarm-machine.ts';
import type { Verdict } from './verdict.ts';
import type { WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

export type Act =
  | {
      readonly kind: 'acknowledge';
      readonly alarm: string;
      readonly by: string;
      readonly note: string | null;
    }
  | {
      readonly kind: 'shelve';
      readonly alarm: string;
      readonly by: string;
      readonly until: number;
      readonly note: string | null;
    }
  | { readonly kind: 'unshelve'; readonly alarm: string; readonly by: string }
  | {
      readonly kind: 'remove-from-service';
      readonly alarm: string;
      readonly by: string;
      /** Why; ISA-18.2 asks for a reason. */
      readonly note: string;
    }
  | { readonly kind: 'return-to-service'; readonly alarm: string; readonly by: string };

export type ActFault =
  | { readonly kind: 'no-such-alarm'; readonly alarm: string }
  | {
      readonly kind: 'not-possible';
      readonly alarm: string;
      readonly state: string;
      readonly act: string;
    };

/**
 * The longest a shelf may last, by priority. Chosen by us: shelving is for a known nuisance during a
 * shift or a repair; where a person can be hurt it must come back within the working day.
 */
const longestShelfSeconds = { high: 8 * 3600, medium: 3 * 86_400, low: 14 * 86_400 } as const;

export const act = (
  _watched: Watched,
  state: WatchState,
  act: Act,
  now: number,
): Result<Verdict, ActFault> => {
  const entry = state.board[act.alarm];
  if (entry === undefined || entry.alarm.occurrence === 0) {
    return fail({ kind: 'no-such-alarm', alarm: act.alarm });
  }
  const refused = (tried: string): Result<Verdict, ActFault> =>
    fail({ kind: 'not-possible', alarm: act.alarm, state: entry.alarm.state, act: tried });
  if (act.kind === 'shelve') {
    const longest = longestShelfSeconds[entry.alarm.priority];
    if (!(act.until > now)) return refused('shelve until a time that has passed');
    if (act.until > now + longest) {
      return refused(
        `shelve for more than ${longest / 3600} h an alarm of ${entry.alarm.priority} priority`,
      );
    }
  }
  const step = send(
    state.board,
    act.alarm,
    eventOf[act.kind],
    { at: now, by: act.by },
    amendment(act, now),
  );
  return step === null ? refused(act.kind) : ok(verdict(state, step));
};

const eventOf = {
  acknowledge: 'acknowledge',
  shelve: 'shelve',
  unshelve: 'unshelve',
  'remove-from-service': 'remove-from-service',
  'return-to-service': 'return-to-service',
} as const satisfies Record<Act['kind'], AlarmEvent>;

const amendment =
  (act: Act, now: number) =>
  (alarm: Alarm): Alarm => {
    switch (act.kind) {
      case 'acknowledge':
        return { ...alarm, acknowledgedAt: now, acknowledgedBy: act.by, note: act.note };
      case 'shelve':
        return { ...alarm, shelvedUntil: act.until, note: act.note };
      case 'remove-from-service':
        return { ...alarm, shelvedUntil: null, note: act.note };
      case 'unshelve':
      case 'return-to-service':
        return { ...alarm, shelvedUntil: null };
    }
  };

const verdict = (state: WatchState, step: BoardStep): Verdict => ({
  state: { ...state, board: step.board },
  changes: step.changes,
  happenings: [],
});
