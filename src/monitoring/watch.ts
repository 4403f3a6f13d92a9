/**
 * The watch over one vessel: the one door through which storage asks monitoring to judge.
 * Pure: no I/O, no clock, no randomness; the state is JSON of bounded size.
 *
 * `judge` takes each new pack of points, late or out of order but without repeats, and no points when the clock
 * alone moved, which `nextDue` asks for. `act` takes what a person does to an alarm.
 */
export { type Act, type ActFault, act } from './act.ts';
export { curveOf } from './fermentation/curve-of.ts';
export { judge } from './judge.ts';
export { nextDue } from './next-due.ts';
export {
  beginRecall,
  recalledTogetherSeconds,
  recallOn,
  withAlarms,
  withRecalled,
} from './recall.ts';
export { resumeWatch } from './resume-watch.ts';
export { statusOf } from './status-of.ts';
export type { Verdict } from './verdict.ts';
export { beginWatch, type WatchState } from './watch-state.ts';
