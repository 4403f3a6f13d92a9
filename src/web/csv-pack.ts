/**
 * A small CSV file as readings of the vessel that the address names: all of them or none. Trade units are converted
 * where the headings name them. Times without a zone are UTC, unless the heading or the address says otherwise.
 */
import type * as z from 'zod';
import { type CsvOptions, csvReader, csvRows } from '../wire/csv-read.ts';
import { csvReadFaultInWords } from '../wire/csv-read-fault.ts';
import type { Reading } from '../wire/readings.ts';
import { rfc3339 } from '../wire/rfc3339.ts';
import type { csvQuery } from './csv-query.ts';
import { Refusal } from './fault.ts';

export const csvMediaType = 'text/csv';

/** A clock may be as much ahead as in a pack of SenML. */
const furthestAheadSeconds = 300;

/** Lines that one answer names. Chosen by us: enough to see whether one line is wrong or the whole column. */
const faultsTold = 20;

export const csvOptions = (query: z.output<typeof csvQuery>, now: number): CsvOptions => ({
  ...(query.zone === undefined ? {} : { zoneOffsetSeconds: query.zone }),
  leaveOut: query['leave-out'],
  latestTime: now + furthestAheadSeconds,
});

export const readingsOfCsv = (
  text: string,
  vessel: string,
  options: CsvOptions,
): readonly Reading[] => {
  const kept = new Map<string, { readonly reading: Reading; readonly line: number }>();
  const faults: string[] = [];
  for (const row of csvRows([text], csvReader(options))) {
    if (!row.ok) {
      faults.push(csvReadFaultInWords(row.fault));
      continue;
    }
    const { line, timeSeconds: time, points } = row.value;
    for (const { channel, value } of points) {
      const key = `${channel}@${time}`;
      const known = kept.get(key);
      if (known === undefined)
        kept.set(key, { reading: { vessel, channel, time, value, record: line - 1 }, line });
      else if (known.reading.value !== value)
        faults.push(
          `line ${line} gives ${channel} at ${rfc3339(time) ?? time} as ${value}, and line ${known.line} as ${known.reading.value}; send one value for one time`,
        );
    }
  }
  if (faults.length > 0)
    throw new Refusal({
      kind: 'csv',
      faults: faults.slice(0, faultsTold),
      more: Math.max(0, faults.length - faultsTold),
    });
  return Array.from(kept.values(), ({ reading }) => reading).sort(
    (one, other) => one.time - other.time,
  );
};
