/**
 * The watch over one vessel: the one door through which storage asks monitoring to judge.
 * Pure: no I/O, no clock, no randomness; the state is JSON of bounded size.
 */
import type { Result } from '../result.ts';
import type { AlarmChange } from './alarm.ts';
import type { Estimate, Status } from './status.ts';
import type { Happening, Point, Watched } from './watched.ts';

export type WatchState = { readonly placeholder: true };

export type Verdict = {
  readonly state: WatchState;
  readonly changes: readonly AlarmChange[];
  readonly happenings: readonly Happening[];
};

/** What a person does to one alarm. */
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
  | { readonly kind: 'unshelve'; readonly alarm: string; readonly by: string };

export type ActFault =
  | { readonly kind: 'no-such-alarm'; readonly alarm: string }
  | {
      readonly kind: 'not-possible';
      readonly alarm: string;
      readonly state: string;
      readonly act: string;
    };

export const beginWatch = (_watched: Watched, _now: number): WatchState => ({ placeholder: true });
export const judge = (
  _watched: Watched,
  state: WatchState,
  _points: readonly Point[],
  _now: number,
): Verdict => ({ state, changes: [], happenings: [] });
export declare const act: (
  watched: Watched,
  state: WatchState,
  act: Act,
  now: number,
) => Result<Verdict, ActFault>;
/** Unix seconds of the next moment at which silence alone changes something; null if none. */
export const nextDue = (_watched: Watched, _state: WatchState, _now: number): number | null => null;
export declare const statusOf: (watched: Watched, state: WatchState, now: number) => Status;
/** Fitted curve and forecast for a chart; null where there is no fit. */
export declare const curveOf: (
  watched: Watched,
  state: WatchState,
  times: readonly number[],
) => readonly Estimate[] | null;
