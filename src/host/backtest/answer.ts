/**
 * What a backtest answers for one record, as one line of the file that is scored: alarms as they were raised and a
 * forecast of terminal gravity every few hours. Format: fixtures/bench/README.md. Pure: no I/O, no clock.
 */
import type { AlarmKind } from '../../monitoring/alarms/alarm.ts';
import { statusOf } from '../../monitoring/watch.ts';
import type { BacktestRecord } from './record.ts';
import { everySeconds, replay } from './replay.ts';

type RaisedAlarm = { readonly kind: string; readonly at: number; readonly evidence: string };

type TerminalForecast = {
  readonly at: number;
  readonly terminal_sg: number;
  readonly terminal_low: number;
  readonly terminal_high: number;
  readonly finish_at?: number;
};

export type Answer = {
  readonly batch: string;
  readonly alarms: readonly RaisedAlarm[];
  readonly forecast: readonly TerminalForecast[];
};

/** A forecast is written this often. Chosen by us: often against the days over which a forecast changes. */
const forecastEverySeconds = 4 * 3600;

/** What the file calls a kind; a kind that is not scored goes by its own name. */
const kindInFile: Readonly<Partial<Record<AlarmKind, string>>> = {
  'over-pressure': 'overpressure',
  'over-pressure-ahead': 'overpressure',
  'silent-sensor': 'sensor',
  'stuck-sensor': 'sensor',
};

export const answerOf = (record: BacktestRecord): Answer => {
  const alarms: RaisedAlarm[] = [];
  const forecast: TerminalForecast[] = [];
  replay(record, everySeconds(record.begins, forecastEverySeconds), {
    onVerdict: ({ changes }) => {
      for (const { transition, at, alarm } of changes) {
        if (transition !== 'raised') continue;
        alarms.push({ kind: kindInFile[alarm.kind] ?? alarm.kind, at, evidence: alarm.evidence });
      }
    },
    onTick: (state, now) => {
      const fermentation = statusOf(record.watched, state, now).fermentation;
      const terminal = fermentation?.terminalGravity ?? null;
      if (terminal === null) return;
      forecast.push({
        at: now,
        terminal_sg: terminal.value,
        terminal_low: terminal.low,
        terminal_high: terminal.high,
        ...(fermentation?.finishAt ? { finish_at: fermentation.finishAt.value } : {}),
      });
    },
  });
  return { batch: record.name, alarms, forecast };
};
