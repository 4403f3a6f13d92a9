/**
 * The labels of a set of records, in the format of fixtures/bench/README.md: what truly happened, read from
 * labels.jsonl and keg_labels.jsonl. A file that is not there has no labels, since a set may hold only one kind.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import * as z from 'zod';
import { fail, ok, type Result } from '../../../result.ts';

const moment = z.number();
const span = z.tuple([moment, moment]);

const batchLabel = z.object({
  batch: z.string(),
  class: z.enum(['normal', 'sluggish', 'stalled', 'restarted', 'stuck_sensor', 'sensor_silence']),
  subtype: z.string(),
  cause: z.string().nullish(),
  cause_at: moment.nullish(),
  stall_at: moment.nullish(),
  early_ok_from: moment.nullish(),
  stall_end: moment.nullish(),
  sensor_fault: z.object({ at: moment, until: moment }).nullish(),
  terminal_sg: z.number(),
  bias_at_end: z.number(),
  within_half_point_at: moment.nullable(),
  att50_at: moment.nullable(),
  att75_at: moment.nullable(),
  sampling_min: z.number(),
  gaps: z.array(span),
  steps: z.array(span),
  t_start: moment,
  t_end: moment,
});

const vesselLabel = z.object({
  batch: z.string(),
  event: z.string(),
  quiet: z.boolean(),
  onset: moment.nullable(),
  crossing_at: moment.nullable(),
  t_start: moment,
  t_end: moment,
});

export type BatchLabel = z.infer<typeof batchLabel>;
export type VesselLabel = z.infer<typeof vesselLabel>;

export type Labels = {
  readonly batches: readonly BatchLabel[];
  readonly vessels: readonly VesselLabel[];
};

/** Or the words of the first fault. */
export const readLabels = (folder: string): Result<Labels, string> => {
  const batches = labelsIn(folder, 'labels.jsonl', batchLabel);
  if (!batches.ok) return batches;
  const vessels = labelsIn(folder, 'keg_labels.jsonl', vesselLabel);
  if (!vessels.ok) return vessels;
  if (batches.value.length === 0 && vessels.value.length === 0) {
    return fail(`${folder} holds neither labels.jsonl nor keg_labels.jsonl; scoring needs labels`);
  }
  return ok({ batches: batches.value, vessels: vessels.value });
};

const labelsIn = <Label>(
  folder: string,
  name: string,
  schema: z.ZodType<Label>,
): Result<readonly Label[], string> => {
  const labels: Label[] = [];
  for (const [index, line] of linesOf(join(folder, name)).entries()) {
    if (line.trim() === '') continue;
    const read = schema.safeParse(jsonOf(line));
    if (!read.success) {
      const issue = read.error.issues[0];
      return fail(
        `${name}, line ${index + 1}: ${issue?.path.join('.') ?? ''} ${issue?.message ?? 'is no label'}; see fixtures/bench/README.md`,
      );
    }
    labels.push(read.data);
  }
  return ok(labels);
};

const linesOf = (path: string): readonly string[] => {
  if (existsSync(`${path}.gz`)) {
    return gunzipSync(readFileSync(`${path}.gz`))
      .toString('utf8')
      .split('\n');
  }
  return existsSync(path) ? readFileSync(path, 'utf8').split('\n') : [];
};

const jsonOf = (line: string): unknown => {
  try {
    return JSON.parse(line);
  } catch {
    return null;
  }
};
