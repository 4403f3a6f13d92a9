/**
 * Writes everything of a cellar, or of one of its vessels, as lines of JSON, a bounded piece at a time: vessels,
 * batches with their samples, limits and deeds, the history of alarms, and readings, hours and corrections. Keys,
 * receivers and the journal stay behind: they belong to the place and not to the records.
 */
import type { Channel } from '../../science/units/channel.ts';
import { cellarStub, type Env, vesselStub } from '../../storage/env.ts';
import { isOfVessel, type News } from '../../storage/news.ts';
import type { ReadingPage } from '../../storage/reading-page.ts';
import { type ArchiveLine, archiveVersion, pointsPerLine } from './archive-line.ts';

type Place = { readonly cellar: string; readonly vessel: string | null };

export async function* archiveLines(env: Env, place: Place, now: number): AsyncGenerator<string> {
  let lines = 0;
  for await (const line of everyLine(env, place, now)) {
    yield `${JSON.stringify(line)}\n`;
    lines += 1;
  }
  yield `${JSON.stringify({ kind: 'end', lines } satisfies ArchiveLine)}\n`;
}

async function* everyLine(
  env: Env,
  { cellar, vessel: only }: Place,
  now: number,
): AsyncGenerator<ArchiveLine> {
  const stub = cellarStub(env, cellar);
  const title = (await stub.describe())?.title ?? cellar;
  yield { kind: 'archive', version: archiveVersion, cellar, title, writtenAt: now };
  if (only === null) yield { kind: 'retention', keepDays: await stub.keepDays() };
  const isWanted = (vessel: string): boolean => only === null || vessel === only;
  const vessels = (await stub.vessels()).filter(({ vessel }) => isWanted(vessel));
  for (const vessel of vessels) yield { kind: 'vessel', vessel };
  for (const listed of (await stub.batches()).toReversed())
    if (isWanted(listed.vessel)) yield { kind: 'batch', ...listed } as ArchiveLine;
  for (let after: number | null = 0; after !== null; ) {
    const page: Awaited<ReturnType<typeof stub.newsAfter>> = await stub.newsAfter(after);
    for (const { at, news } of page.news)
      if (isOfVessel(news) ? isWanted(news.vessel) : only === null)
        yield { kind: 'news', at, news: withoutCellar(news) } as ArchiveLine;
    after = page.next;
  }
  for (const { vessel } of vessels) {
    const status = (await vesselStub(env, cellar, vessel).view(now))?.status;
    const alarms = [...(status?.alarms ?? []), ...(status?.setAside ?? [])];
    if (alarms.length > 0) yield { kind: 'alarms', vessel, alarms };
    yield* readingLines(env, cellar, vessel);
  }
}

/** The archive is of one cellar, and may go to another. */
const withoutCellar = ({ cellar: _, ...news }: News): Omit<News, 'cellar'> => news;

async function* readingLines(
  env: Env,
  cellar: string,
  vessel: string,
): AsyncGenerator<ArchiveLine> {
  const stub = vesselStub(env, cellar, vessel);
  /** Points of the channel that is under way: lines are as long as each other, however pages are cut. */
  let rest: { channel: Channel; times: number[]; values: number[] } | null = null;
  for (let cursor: string | null = null; ; ) {
    const exported: { page: ReadingPage; next: string | null } | null =
      await stub.exportReadings(cursor);
    if (exported === null) return;
    const { page } = exported;
    if (page.kind === 'readings') {
      for (const { channel, times, values } of page.series) {
        if (rest !== null && rest.channel !== channel) {
          if (rest.times.length > 0) yield { kind: 'readings', vessel, ...rest };
          rest = null;
        }
        rest ??= { channel, times: [], values: [] };
        for (const [index, time] of times.entries()) {
          rest.times.push(time);
          rest.values.push(values[index] ?? 0);
          if (rest.times.length < pointsPerLine) continue;
          yield { kind: 'readings', vessel, ...rest };
          rest = { channel, times: [], values: [] };
        }
      }
    } else {
      if (rest !== null && rest.times.length > 0) yield { kind: 'readings', vessel, ...rest };
      rest = null;
      if (page.kind === 'hours' && page.hours.length > 0)
        yield { kind: 'hours', vessel, channel: page.channel, hours: [...page.hours] };
      if (page.kind === 'corrections' && page.corrections.length > 0)
        yield {
          kind: 'corrections',
          vessel,
          corrections: page.corrections.map(({ channel, at, points }) => ({
            channel,
            at,
            points: points.map((point) => ({ ...point })),
          })),
        };
    }
    cursor = exported.next;
    if (cursor === null) {
      if (rest !== null && rest.times.length > 0) yield { kind: 'readings', vessel, ...rest };
      return;
    }
  }
}
