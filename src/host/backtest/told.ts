/**
 * What the watch would have told of one record, and when: each alarm from its raising to its end, and each happening.
 * Also the course of the smoothed gravity, hour by hour, from which the moments to look back from are found.
 * Nobody acknowledges anything in a backtest, so an alarm is over when its condition is. Pure: no I/O, no clock.
 */
import type { Alarm, AlarmChange, AlarmTransition } from '../../monitoring/alarms/alarm.ts';
import type { Status } from '../../monitoring/status.ts';
import { statusOf } from '../../monitoring/watch.ts';
import type { Happening } from '../../monitoring/watched.ts';
import type { Estimate } from '../../science/estimate.ts';
import type { BacktestRecord } from './record.ts';
import { everySeconds, replay } from './replay.ts';

export type Occurrence = {
  readonly kind: 'alarm';
  /** As it stood when it was raised. */
  readonly alarm: Alarm;
  /** Unix seconds. */
  readonly at: number;
  /** Null where it stood to the end of the record. */
  readonly endedAt: number | null;
  /** What was told while it stood: grown more urgent, or set aside. */
  readonly later: readonly AlarmChange[];
  /** For over-pressure ahead: when the rating was expected to be reached. */
  readonly crossingAt: Estimate | null;
};

export type CalmMark = {
  readonly kind: 'happening';
  readonly at: number;
  readonly happening: Happening;
};

export type Told = {
  /** In order of time. */
  readonly marks: readonly (Occurrence | CalmMark)[];
  /** Smoothed present gravity, hour by hour: Unix seconds and specific gravity. */
  readonly gravityByHour: readonly (readonly [number, number])[];
  /** At the end of the record. */
  readonly status: Status | null;
};

/** Transitions that end an alarm's condition or take it off the board. */
const ending: ReadonlySet<AlarmTransition> = new Set(['returned', 'latched', 'suppressed']);
const telling: ReadonlySet<AlarmTransition> = new Set(['worsened', 'latched', 'suppressed']);

export const toldOf = (record: BacktestRecord): Told => {
  const { watched } = record;
  const marks: (Occurrence | CalmMark)[] = [];
  const open = new Map<string, number>();
  const gravityByHour: [number, number][] = [];
  let status: Status | null = null;
  replay(record, everySeconds(record.begins, 3600), {
    onVerdict: ({ state, changes, happenings }, now) => {
      for (const happening of happenings)
        marks.push({ kind: 'happening', at: happening.at, happening });
      for (const change of changes) {
        const { transition, at, alarm } = change;
        const place = open.get(alarm.alarm);
        const standing = place === undefined ? undefined : marks[place];
        if (transition === 'raised') {
          const crossingAt =
            alarm.kind === 'over-pressure-ahead'
              ? (statusOf(watched, state, now).pressure?.crossingAt ?? null)
              : null;
          open.set(alarm.alarm, marks.length);
          marks.push({ kind: 'alarm', alarm, at, endedAt: null, later: [], crossingAt });
        } else if (place !== undefined && standing?.kind === 'alarm') {
          const over = ending.has(transition);
          marks[place] = {
            ...standing,
            later: telling.has(transition) ? [...standing.later, change] : standing.later,
            endedAt: over ? at : standing.endedAt,
          };
          if (over) open.delete(alarm.alarm);
        }
      }
      if (now >= record.ends) status = statusOf(watched, state, now);
    },
    onTick: (state, now) => {
      status = statusOf(watched, state, now);
      const gravity = status.fermentation?.presentGravity ?? null;
      if (gravity !== null) gravityByHour.push([now, gravity]);
    },
  });
  return { marks: marks.toSorted((one, other) => one.at - other.at), gravityByHour, status };
};
