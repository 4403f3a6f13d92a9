/**
 * What a monitor answered, a JSON object a line, read as fixtures/bench/score.py reads it: what is malformed is counted
 * and left out, several lines of one batch are joined, and an absent batch is one without alarms or forecasts.
 */
import * as z from 'zod';

type ScoredAlarm = { readonly at: number; readonly kind: string };

export type ScoredForecast = {
  readonly at: number;
  readonly terminal: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly finishAt: number | null;
};

type Answered = {
  readonly alarms: readonly ScoredAlarm[];
  readonly forecast: readonly ScoredForecast[];
};

export type Answers = {
  /** The answer for a batch; empty where it is absent. */
  readonly of: (batch: string) => Answered;
  readonly answered: (batch: string) => boolean;
  readonly malformed: number;
};

const line = z.object({
  batch: z.string(),
  alarms: z.array(z.unknown()).nullish(),
  forecast: z.array(z.unknown()).nullish(),
});

/** A finite number; zod's own takes neither infinities nor what is not a number. */
const number = z.number();
const alarm = z.object({ at: number, kind: z.string() });
const forecast = z.object({ at: number, terminal_sg: number });
const extras = z.object({
  terminal_low: number.nullish().catch(null),
  terminal_high: number.nullish().catch(null),
  finish_at: number.nullish().catch(null),
});

const nothing: Answered = { alarms: [], forecast: [] };

export const answersIn = (text: string): Answers => {
  const held = new Map<string, { alarms: ScoredAlarm[]; forecast: ScoredForecast[] }>();
  let malformed = 0;
  for (const written of text.split('\n')) {
    if (written.trim() === '') continue;
    const read = line.safeParse(jsonOf(written));
    if (!read.success) {
      malformed += 1;
      continue;
    }
    const own = held.get(read.data.batch) ?? { alarms: [], forecast: [] };
    held.set(read.data.batch, own);
    for (const said of read.data.alarms ?? []) {
      const known = alarm.safeParse(said);
      if (known.success) own.alarms.push(known.data);
      else malformed += 1;
    }
    for (const said of read.data.forecast ?? []) {
      const known = forecast.safeParse(said);
      if (!known.success) {
        malformed += 1;
        continue;
      }
      const more = extras.parse(said);
      own.forecast.push({
        at: known.data.at,
        terminal: known.data.terminal_sg,
        low: more.terminal_low ?? null,
        high: more.terminal_high ?? null,
        finishAt: more.finish_at ?? null,
      });
    }
  }
  for (const own of held.values()) {
    own.alarms.sort((a, b) => a.at - b.at);
    own.forecast.sort((a, b) => a.at - b.at);
  }
  return {
    of: (batch) => held.get(batch) ?? nothing,
    answered: (batch) => held.has(batch),
    malformed,
  };
};

const jsonOf = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
};
