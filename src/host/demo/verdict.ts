/** Holds what came against what had to come. Pure: no I/O, no clock. */
import type { Expected } from '../scenario/expected.ts';
import type { HistoryEntry } from './cellar-client.ts';
import type { ReceivedNews } from './webhook-receiver.ts';

export type Check = { readonly words: string; readonly holds: boolean };

export type Outcome = {
  readonly history: readonly HistoryEntry[];
  readonly received: readonly ReceivedNews[];
  readonly refused: readonly string[];
  /** Highest true pressure in keg 7 over its rating. */
  readonly highestShareOfRating: number;
  readonly sentTwice: number;
  readonly countedRepeated: number;
};

type Told = {
  readonly name: string;
  readonly entry: HistoryEntry;
};

const nameOf = (entry: HistoryEntry): string => {
  if (entry.kind === 'flood') return `flood ${entry.transition}`;
  return entry.kind === 'alarm'
    ? `${entry.vessel} ${entry.alarm.kind} ${entry.transition}`
    : `${entry.vessel} ${entry.happening.kind}`;
};

/** The type under which the news of an entry is sent, with the vessel it is about. */
const newsOf = (entry: HistoryEntry): string => {
  if (entry.kind === 'flood') return `gyleward.flood.${entry.transition}`;
  return entry.kind === 'alarm'
    ? `${entry.vessel} gyleward.alarm.${entry.transition}`
    : `${entry.vessel} gyleward.happening.${entry.happening.kind}`;
};

const tally = (names: readonly string[]): ReadonlyMap<string, number> => {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return counts;
};

const once = (counts: ReadonlyMap<string, number>, name: string): Check => {
  const found = counts.get(name) ?? 0;
  return {
    words: `${name}: once${found === 1 ? '' : `, found ${found} times`}`,
    holds: found === 1,
  };
};

export const verdict = (expected: readonly Expected[], outcome: Outcome): readonly Check[] => {
  const told: readonly Told[] = outcome.history.map((entry) => ({ name: nameOf(entry), entry }));
  const counts = tally(told.map(({ name }) => name));
  const wanted = expected.flatMap((one) =>
    one.kind === 'happening'
      ? [`${one.vessel} ${one.happening}`]
      : [
          `${one.vessel} ${one.alarm} raised`,
          ...(one.returns ? [`${one.vessel} ${one.alarm} returned`] : []),
        ],
  );
  const others = told.filter(
    ({ name, entry }) =>
      !wanted.includes(name) &&
      (entry.kind !== 'alarm' || ['raised', 'returned'].includes(entry.transition)),
  );
  const history = tally(outcome.history.map(newsOf));
  const received = tally(
    outcome.received.map(({ source, type }) =>
      source.includes('/vessels/') ? `${source.split('/').at(-1)} ${type}` : type,
    ),
  );
  const missing = [...history].filter(([name, count]) => received.get(name) !== count);
  return [
    ...wanted.map((name) => once(counts, name)),
    {
      words:
        others.length === 0
          ? 'nothing else was said'
          : `said as well: ${others.map(({ name }) => name).join(', ')}`,
      holds: others.length === 0,
    },
    {
      words:
        missing.length === 0
          ? `all ${outcome.history.length} pieces of news reached the webhook, signatures verified`
          : `not received as often as told: ${missing.map(([name]) => name).join(', ')}`,
      holds: missing.length === 0 && outcome.received.length === outcome.history.length,
    },
    {
      words: `the webhook refused ${outcome.refused.length} requests${outcome.refused[0] ? `: ${outcome.refused[0]}` : ''}`,
      holds: outcome.refused.length === 0,
    },
    {
      words: `${outcome.countedRepeated} of ${outcome.sentTwice} readings sent twice were counted as repeated`,
      holds: outcome.sentTwice > 0 && outcome.countedRepeated === outcome.sentTwice,
    },
    {
      words: `keg 7 reached ${(100 * outcome.highestShareOfRating).toFixed(0)} % of its rated pressure`,
      holds: outcome.highestShareOfRating < 1,
    },
  ];
};
