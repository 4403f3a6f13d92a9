/**
 * Takes a vessel's history as CSV of any length: stored piece by piece as it arrives, in bounded memory, judged by
 * nobody and telling nobody. What is sent again is not stored again, so a history that broke off is sent once more.
 * When all of it is there, the watch recalls what belongs to the running batch.
 */
import type * as z from 'zod';
import type { Channel } from '../science/units/channel.ts';
import { type Env, vesselStub } from '../storage/env.ts';
import type { ReceivedCounts } from '../storage/vessel-object.ts';
import { type CsvUnderstood, csvReader } from '../wire/csv-read.ts';
import { csvReadFaultInWords } from '../wire/csv-read-fault.ts';
import { textPieces } from './body.ts';
import { csvOptions } from './csv-pack.ts';
import type { csvQuery } from './csv-query.ts';
import { Refusal } from './fault.ts';
import { addCounts, noCounts } from './store-pack.ts';

export type HistoryReport = ReceivedCounts & {
  readonly vessel: string;
  readonly rows: number;
  /** Unix seconds of the earliest and the latest row; null where there was none. */
  readonly first: number | null;
  readonly last: number | null;
  /** What was made of the columns: what each holds, in which unit it came, and how many values it had. */
  readonly columns: readonly {
    readonly heading: string;
    readonly channel: Channel | null;
    readonly unit: string | null;
    readonly values: number;
  }[];
  /** Rows whose time named no zone, and the offset in seconds that was taken for them. */
  readonly rowsWithoutZone: number;
  readonly assumedOffsetSeconds: number;
};

/** Chosen by us: ten years of ten channels once a minute are less. */
const historyLimitBytes = 1024 ** 3;

/** Readings that are stored together. Chosen by us: some ten milliseconds of work, so that live readings do not wait. */
const readingsPerPage = 10_000;

/** The readings of a page that is being filled. */
class Page {
  readonly #series = new Map<Channel, { readonly times: number[]; readonly values: number[] }>();
  #count = 0;

  get isFull(): boolean {
    return this.#count >= readingsPerPage;
  }

  add(channel: Channel, time: number, value: number): void {
    const series = this.#series.get(channel) ?? { times: [], values: [] };
    this.#series.set(channel, series);
    series.times.push(time);
    series.values.push(value);
    this.#count += 1;
  }

  /** What it holds, ready to be stored; it is empty then. */
  turn() {
    const series = Array.from(this.#series, ([channel, { times, values }]) => ({
      channel,
      times: Float64Array.from(times),
      values: Float64Array.from(values),
    }));
    this.#series.clear();
    this.#count = 0;
    return { kind: 'readings', series } as const;
  }
}

export const takeHistory = async (
  env: Env,
  { cellar, vessel }: { readonly cellar: string; readonly vessel: string },
  request: Request,
  query: z.output<typeof csvQuery>,
  now: number,
): Promise<HistoryReport> => {
  const stub = vesselStub(env, cellar, vessel);
  const reader = csvReader(csvOptions(query, now));
  const page = new Page();
  let counts = noCounts;

  const store = async (): Promise<void> => {
    const full = page.turn();
    if (full.series.length === 0) return;
    const imported = await stub.importReadings(full, now);
    if (imported === null) throw new Refusal({ kind: 'not-found', what: 'vessel', name: vessel });
    counts = addCounts(counts, imported);
  };
  const take = async (rows: ReturnType<typeof reader.take>): Promise<void> => {
    for (const row of rows) {
      if (!row.ok)
        throw new Refusal({ kind: 'csv', faults: [csvReadFaultInWords(row.fault)], more: 0 });
      for (const { channel, value } of row.value.points)
        page.add(channel, row.value.timeSeconds, value);
      if (page.isFull) await store();
    }
  };

  try {
    for await (const text of textPieces(request, historyLimitBytes)) await take(reader.take(text));
    await take(reader.end());
    await store();
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    await store();
    throw new Refusal({ kind: 'stream-ended', why: error.fault, counts });
  }
  while (await stub.recallHistory(now));
  return { vessel, ...reported(reader.understood()), ...counts };
};

const reported = (
  understood: CsvUnderstood | null,
): Omit<HistoryReport, keyof ReceivedCounts | 'vessel'> => ({
  rows: understood?.rows ?? 0,
  first: understood?.span?.[0] ?? null,
  last: understood?.span?.[1] ?? null,
  columns: (understood?.columns ?? []).map((column, index) => ({
    heading: column.heading,
    channel: column.kind === 'channel' ? column.channel : null,
    unit: column.kind === 'channel' ? column.unit.symbol : null,
    values: understood?.values[index] ?? 0,
  })),
  rowsWithoutZone: understood?.rowsWithoutZone ?? 0,
  assumedOffsetSeconds: understood?.assumedOffsetSeconds ?? 0,
});
