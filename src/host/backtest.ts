/**
 * Runs recorded batches and vessels through the very watch that runs in the worker, causally: a row is known
 * when it arrives, and the clock runs to the end of the record even in silence.
 *   npm run backtest -- --in FOLDER --out FILE.jsonl     (input and output: fixtures/bench/README.md)
 */
import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import type { AlarmKind } from '../monitoring/alarm.ts';
import { beginWatch, judge, nextDue, statusOf } from '../monitoring/watch.ts';
import type { Point } from '../monitoring/watched.ts';
import { type BacktestRecord, readRecords } from './backtest-records.ts';

type Raised = { readonly kind: string; readonly at: number; readonly evidence: string };

type Forecast = {
  readonly at: number;
  readonly terminal_sg: number;
  readonly terminal_low: number;
  readonly terminal_high: number;
  readonly finish_at?: number;
};

/** A forecast is written this often. Chosen by us: often against the days over which a forecast changes. */
const forecastEverySeconds = 4 * 3600;

const kindInFile = {
  stall: 'stall',
  'over-pressure': 'overpressure',
  'over-pressure-ahead': 'overpressure',
  refermentation: 'refermentation',
  leak: 'leak',
  temperature: 'temperature',
  'silent-sensor': 'sensor',
  'stuck-sensor': 'sensor',
} as const satisfies Record<AlarmKind, string>;

/** The clock of a record: the arrival of a row is the latest time seen so far. */
export const replay = (
  record: BacktestRecord,
): { readonly alarms: readonly Raised[]; readonly forecast: readonly Forecast[] } => {
  const { watched } = record;
  const alarms: Raised[] = [];
  const forecast: Forecast[] = [];
  let now = record.begins;
  let state = beginWatch(watched, now);
  let forecastAt = now + forecastEverySeconds;

  const take = (points: readonly Point[]): void => {
    const verdict = judge(watched, state, points, now);
    state = verdict.state;
    for (const { transition, at, alarm } of verdict.changes) {
      if (transition === 'raised') {
        alarms.push({ kind: kindInFile[alarm.kind], at, evidence: alarm.evidence });
      }
    }
  };
  /** Lets the clock run, waking the watch when it asks for it and writing the forecasts that fall due. */
  const runTo = (until: number): void => {
    for (;;) {
      const due = nextDue(watched, state, now);
      const next = Math.min(due ?? Number.POSITIVE_INFINITY, forecastAt);
      if (next > until) break;
      // A due time that has passed is served at once; the clock never runs backwards.
      now = Math.max(now, next);
      if (due !== null && due <= now) take([]);
      if (forecastAt <= now) {
        const said = forecastOf(record, state, now);
        if (said !== null) forecast.push(said);
        forecastAt += forecastEverySeconds;
      }
    }
    now = Math.max(now, until);
  };

  for (const row of record.rows) {
    const time = row[0]?.time;
    if (time === undefined) continue;
    if (time > now) runTo(time);
    take(row);
  }
  if (record.ends > now) runTo(record.ends);
  return { alarms, forecast };
};

const forecastOf = (
  { watched }: BacktestRecord,
  state: ReturnType<typeof beginWatch>,
  now: number,
): Forecast | null => {
  const fermentation = statusOf(watched, state, now).fermentation;
  const terminal = fermentation?.terminalGravity ?? null;
  if (terminal === null) return null;
  return {
    at: now,
    terminal_sg: terminal.value,
    terminal_low: terminal.low,
    terminal_high: terminal.high,
    ...(fermentation?.finishAt ? { finish_at: fermentation.finishAt.value } : {}),
  };
};

const main = (): void => {
  const { values } = parseArgs({
    options: {
      in: { type: 'string', default: 'fixtures/bench' },
      out: { type: 'string' },
    },
  });
  if (values.out === undefined) {
    console.error('--out is missing; name the file to write, as in --out backtest.jsonl');
    process.exitCode = 1;
    return;
  }
  const records = readRecords(values.in);
  if (records.length === 0) {
    console.error(
      `--in ${values.in} holds neither batches.csv nor kegs.csv; name a folder that does`,
    );
    process.exitCode = 1;
    return;
  }
  const lines: string[] = [];
  let raised = 0;
  for (const record of records) {
    const result = replay(record);
    raised += result.alarms.length;
    lines.push(JSON.stringify({ batch: record.name, ...result }));
  }
  writeFileSync(values.out, `${lines.join('\n')}\n`);
  console.log(`${records.length} records, ${raised} alarms, written to ${values.out}`);
};

if (import.meta.main) main();
