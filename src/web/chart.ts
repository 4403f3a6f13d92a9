/** A vessel's chart as JSON, for the page and for anyone else who draws. */
import * as z from 'zod';
import { type Env, vesselStub } from '../storage/env.ts';
import type { ChartData } from './chart-data.ts';
import { Refusal } from './fault.ts';
import { parse } from './parse.ts';

const moment = z.coerce.number().min(0).max(8_000_000_000).nullable().default(null);

/** 400 buckets are more than a phone has pixels to draw their spikes in. */
export const chartQuery = z.object({
  from: moment,
  to: moment,
  buckets: z.coerce.number().int().min(10).max(2000).default(400),
});

export const readChart = async (
  env: Env,
  { cellar, vessel: name }: { readonly cellar: string; readonly vessel: string },
  query: Readonly<Record<string, string>>,
  now: number,
): Promise<ChartData> => {
  const wanted = parse(chartQuery, query);
  const stub = vesselStub(env, cellar, name);
  const [rows, view] = await Promise.all([stub.chart(wanted, now), stub.view(now)]);
  if (rows === null || view === null)
    throw new Refusal({ kind: 'not-found', what: 'vessel', name });
  const { vessel, batch } = view;
  return {
    ...rows,
    limits: {
      ratedGaugePressurePascal: vessel.ratedGaugePressurePascal,
      reliefGaugePressurePascal: vessel.reliefGaugePressurePascal,
      temperatureBand: batch?.temperatureBand ?? vessel.temperatureBand,
      expectedTerminalGravity: batch?.expectedTerminalGravity ?? null,
    },
    marks: [
      ...view.changes
        .filter((change) => change.transition === 'raised')
        .map((change) => ({
          at: change.at,
          words: change.alarm.evidence,
          kind: change.alarm.kind,
        })),
      ...view.happenings.map((happening) => ({
        at: happening.at,
        words: happening.words,
        kind: happening.kind,
      })),
    ].sort((one, other) => one.at - other.at),
  };
};
