/**
 * The project's own scorer against what fixtures/bench/score.py printed for the same answers (fixtures/score), number
 * by number, and the goals read off it.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { answersIn } from '../../src/host/backtest/score/answers.ts';
import { quantile } from '../../src/host/backtest/score/figures.ts';
import { goalLines, goalTable } from '../../src/host/backtest/score/goals.ts';
import { readLabels } from '../../src/host/backtest/score/labels.ts';
import { scoreOf } from '../../src/host/backtest/score/score.ts';

const labels = readLabels('fixtures/bench');
if (!labels.ok) throw new Error(labels.fault);
const { value: known } = labels;

type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** Every leaf by its path, in order. */
const leaves = (value: Json, path = ''): readonly (readonly [string, Json])[] =>
  typeof value === 'object' && value !== null
    ? Object.entries(value).flatMap(([key, own]) => leaves(own, `${path}/${key}`))
    : [[path, value]];

const compare = (answers: string, recorded: Json): number => {
  const own = leaves(JSON.parse(JSON.stringify(scoreOf(known, answersIn(answers)))) as Json);
  const wanted = leaves(recorded);
  expect(own.map(([path]) => path)).toEqual(wanted.map(([path]) => path));
  for (const [index, [path, value]] of wanted.entries()) {
    const mine = own[index]?.[1];
    // Both sum and interpolate doubles; the order of summing may differ in the last digits.
    if (typeof value === 'number' && typeof mine === 'number') {
      expect(Math.abs(mine - value), path).toBeLessThanOrEqual(
        1e-12 * Math.max(1, Math.abs(value)),
      );
    } else expect(mine, path).toEqual(value);
  }
  return wanted.length;
};

describe('the score', () => {
  it('is that of score.py for answers with malformed, missing and parted lines', () => {
    const answers = readFileSync('fixtures/score/answers.jsonl', 'utf8');
    const recorded = JSON.parse(readFileSync('fixtures/score/score.json', 'utf8')) as Json;
    expect(compare(answers, recorded)).toBeGreaterThan(120);
  });

  it('is that of score.py on the edges of every window', () => {
    const lines = readFileSync('fixtures/score/edges.jsonl', 'utf8').trim().split('\n');
    let compared = 0;
    for (const line of lines) {
      const { answers, score } = JSON.parse(line) as { answers: string; score: Json };
      compared += compare(answers, score);
    }
    expect(lines).toHaveLength(10);
    expect(compared).toBeGreaterThan(1200);
  });

  it('counts nothing answered as nothing found', () => {
    const score = scoreOf(known, answersIn(''));
    expect(score.stall.detected).toBe(0);
    expect(score.input.batches_answered).toBe(0);
    expect(score.forecast.normal.att50.no_forecast).toBe(5);
  });

  it('interpolates quantiles as Hyndman and Fan define their type 7', () => {
    // Their definition: with n = 5, the 90th lies at 1 + 4 x 0.9 = 4.6, six tenths from the 4th to the 5th.
    expect(quantile([5, 1, 4, 2, 3], 0.9)).toBeCloseTo(4.6, 12);
    expect(quantile([7], 0.1)).toBe(7);
    expect(quantile([], 0.5)).toBeNull();
  });
});

describe('the goals', () => {
  const perfect = (): string => {
    const lines: string[] = [];
    for (const label of known.batches) {
      const alarms: { kind: string; at: number }[] = [];
      if (label.stall_at) alarms.push({ kind: 'stall', at: label.stall_at + 3600 });
      if (label.sensor_fault) alarms.push({ kind: 'sensor', at: label.sensor_fault.at + 7200 });
      if (label.cause === 'temperature_crash' && label.cause_at) {
        alarms.push({ kind: 'temperature', at: label.cause_at + 7200 });
      }
      const terminal = { terminal_sg: label.terminal_sg + 0.0005 };
      const forecast = [0.5, 0.75].map((_share, index) => ({
        at: (index === 0 ? label.att50_at : label.att75_at) ?? 0,
        ...terminal,
        terminal_low: label.terminal_sg - 0.001,
        terminal_high: label.terminal_sg + 0.002,
      }));
      lines.push(JSON.stringify({ batch: label.batch, alarms, forecast }));
    }
    for (const { batch, event, onset, crossing_at } of known.vessels) {
      const alarms: { kind: string; at: number }[] = [];
      if (crossing_at !== null) alarms.push({ kind: 'overpressure', at: onset ?? crossing_at });
      if (event === 'referment') alarms.push({ kind: 'refermentation', at: onset ?? 0 });
      if (event === 'leak') alarms.push({ kind: 'leak', at: onset ?? 0 });
      lines.push(JSON.stringify({ batch, alarms }));
    }
    return lines.join('\n');
  };
  const metIn = (answers: string): Readonly<Record<string, boolean | null>> =>
    Object.fromEntries(
      goalLines(scoreOf(known, answersIn(answers))).map(({ measure, met }) => [measure, met]),
    );

  it('are met by answers that know the truth, but for a band that always holds', () => {
    const met = metIn(perfect());
    expect(Object.keys(met)).toHaveLength(15);
    const missed = Object.keys(met).filter((measure) => met[measure] !== true);
    expect(missed).toEqual(['cover of the 90 % band, all forecasts before the finish']);
  });

  it('are missed where nothing is answered, and met where silence is right', () => {
    const met = metIn('');
    expect(met['stalls detected']).toBe(false);
    expect(met['false stalls per 100 normal batches']).toBe(true);
    expect(met['terminal gravity error at 50 %, median / p90']).toBeNull();
    expect(met['crossings of the rating warned of']).toBe(false);
    expect(met['lead before the crossing, median / p10']).toBeNull();
  });

  it('stand in a table of even columns', () => {
    const lines = goalTable(goalLines(scoreOf(known, answersIn(perfect())))).split('\n');
    expect(lines).toHaveLength(16);
    const goal = lines[0]?.indexOf('goal') ?? -1;
    expect(
      lines.every((line) => /\S/.test(line.charAt(goal)) && line.charAt(goal - 1) === ' '),
    ).toBe(true);
    expect(lines.find((line) => line.startsWith('stalls detected'))).toMatch(/4 of 4 +met$/);
  });
});
