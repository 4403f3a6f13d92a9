/**
 * Takes an archive into a cellar, line by line and in bounded memory. What is there already and says the same is left
 * as it is, so an archive that broke off is sent again; a vessel or batch of the same name that says something else
 * ends it. Nobody is told anything: alarms stand afterwards as they stood, and the watch of each vessel recalls its
 * batch from the readings.
 */
import type { Alarm } from '../../monitoring/alarms/alarm.ts';
import type { Batch } from '../../monitoring/batch.ts';
import type { ArchivedNews } from '../../storage/archived-news.ts';
import { cellarStub, type Env, vesselStub } from '../../storage/env.ts';
import { isOfVessel, type News } from '../../storage/news.ts';
import type { ReadingPage } from '../../storage/reading-page.ts';
import { sameJson } from '../../storage/same-json.ts';
import { textPieces } from '../body.ts';
import { describeVessel } from '../describe-vessel.ts';
import { Refusal } from '../fault.ts';
import { fieldFaults } from '../parse.ts';
import { type ArchiveLine, archiveLine } from './archive-line.ts';

export type ArchiveReport = {
  /** Lines of the archive, its end not counted. */
  readonly lines: number;
  readonly vessels: number;
  readonly batches: number;
  /** Pieces of history that were new. */
  readonly news: number;
  readonly stored: number;
  readonly repeated: number;
  readonly hours: number;
  readonly corrections: number;
};

/** Chosen by us: some hundred vessel-years. */
const archiveLimitBytes = 4 * 1024 ** 3;

/** Chosen by us: a line of readings has about a hundred kilobytes; corrections may be a few times that. */
const longestLine = 8 * 1024 * 1024;

/** Pieces of history that are taken over together. */
const newsTogether = 100;

export const takeArchive = async (
  env: Env,
  cellar: string,
  request: Request,
  by: string,
  now: number,
): Promise<ArchiveReport> => {
  const taking = new Taking(env, cellar, by, now);
  let rest = '';
  let line = 0;
  for await (const text of textPieces(request, archiveLimitBytes)) {
    rest += text;
    if (rest.length > longestLine)
      throw refused(line + 1, `is longer than ${longestLine} characters`);
    if (!text.includes('\n')) continue;
    const whole = rest.split('\n');
    rest = whole.pop() ?? '';
    for (const one of whole) {
      line += 1;
      if (one.trim() !== '') await taking.take(read(one, line), line);
    }
  }
  if (rest.trim() !== '') await taking.take(read(rest, line + 1), line + 1);
  return taking.report(line + 1);
};

const refused = (line: number, why: string, conflicts = false): Refusal =>
  new Refusal({ kind: 'archive', line, why, conflicts });

const read = (text: string, line: number): ArchiveLine => {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw refused(line, 'is no JSON');
  }
  const outcome = archiveLine.safeParse(value);
  if (outcome.success) return outcome.data;
  const [first] = fieldFaults(outcome.error, value);
  throw refused(line, `has a field ${first?.field ?? ''} that ${first?.detail ?? 'is refused'}`);
};

class Taking {
  readonly #env: Env;
  readonly #cellar: string;
  readonly #by: string;
  readonly #now: number;
  readonly #vessels = new Set<string>();
  readonly #batches = new Map<string, Batch>();
  readonly #alarms = new Map<string, Map<string, Alarm>>();
  #news: ArchivedNews[] = [];
  #lines = 0;
  #ended = false;
  #counts = { vessels: 0, batches: 0, news: 0, stored: 0, repeated: 0, hours: 0, corrections: 0 };

  constructor(env: Env, cellar: string, by: string, now: number) {
    this.#env = env;
    this.#cellar = cellar;
    this.#by = by;
    this.#now = now;
  }

  async take(line: ArchiveLine, number: number): Promise<void> {
    if (this.#ended) throw refused(number, 'stands behind the end of the archive');
    if ((line.kind === 'archive') !== (this.#lines === 0))
      throw refused(number, 'must be of the kind archive where it is the first, and nowhere else');
    if (line.kind !== 'news') await this.#storeNews();
    if (line.kind !== 'end') this.#lines += 1;
    const list = cellarStub(this.#env, this.#cellar);
    switch (line.kind) {
      case 'archive':
        return;
      case 'retention':
        if ((await list.keepDays()) !== line.keepDays)
          await list.setKeepDays(line.keepDays, this.#by, this.#now);
        return;
      case 'vessel': {
        const { vessel } = line;
        const known = (await list.vessels()).find((one) => one.vessel === vessel.vessel);
        if (known !== undefined && !sameJson(known, vessel))
          throw refused(
            number,
            `describes the vessel ${vessel.vessel}, which is here and differs`,
            true,
          );
        if (known === undefined) {
          await describeVessel(this.#env, this.#cellar, vessel, this.#now);
          this.#counts.vessels += 1;
        }
        this.#vessels.add(vessel.vessel);
        return;
      }
      case 'batch': {
        const { kind: _, ...listed } = line;
        this.#known(listed.vessel, number);
        const outcome = await list.takeArchivedBatch(listed);
        if (outcome === 'differs')
          throw refused(
            number,
            `describes the batch ${listed.batch.batch}, which is here and differs`,
            true,
          );
        if (outcome === 'taken') this.#counts.batches += 1;
        const last = this.#batches.get(listed.vessel);
        if (last === undefined || last.startedAt <= listed.batch.startedAt)
          this.#batches.set(listed.vessel, listed.batch);
        return;
      }
      case 'news': {
        const news: News = { ...line.news, cellar: this.#cellar };
        if (isOfVessel(news)) this.#known(news.vessel, number);
        this.#news.push({ at: line.at, news });
        if (this.#news.length >= newsTogether) await this.#storeNews();
        return;
      }
      case 'alarms':
        this.#known(line.vessel, number);
        for (const alarm of line.alarms) this.#alarmsOf(line.vessel).set(alarm.alarm, alarm);
        return;
      case 'readings': {
        const series = {
          channel: line.channel,
          times: Float64Array.from(line.times),
          values: Float64Array.from(line.values),
        };
        return this.#store(line.vessel, { kind: 'readings', series: [series] }, number);
      }
      case 'hours':
      case 'corrections': {
        const { vessel, ...page } = line;
        return this.#store(vessel, page, number);
      }
      case 'end':
        if (line.lines !== this.#lines)
          throw refused(number, `counts ${line.lines} lines where ${this.#lines} came`);
        this.#ended = true;
        for (const vessel of this.#vessels) await this.#settle(vessel, number);
    }
  }

  report(line: number): ArchiveReport {
    if (!this.#ended) throw refused(line, 'is missing: the archive ends before its end line');
    return { lines: this.#lines, ...this.#counts };
  }

  #alarmsOf(vessel: string): Map<string, Alarm> {
    const alarms = this.#alarms.get(vessel) ?? new Map<string, Alarm>();
    this.#alarms.set(vessel, alarms);
    return alarms;
  }

  #known(vessel: string, number: number): void {
    if (!this.#vessels.has(vessel))
      throw refused(number, `is about the vessel ${vessel}, which no line before it describes`);
  }

  async #store(vessel: string, page: ReadingPage, number: number): Promise<void> {
    this.#known(vessel, number);
    const counts = await vesselStub(this.#env, this.#cellar, vessel).importReadings(
      page,
      this.#now,
    );
    if (counts === null) throw refused(number, `is about the vessel ${vessel}, which is not here`);
    this.#counts.stored += counts.stored;
    this.#counts.repeated += counts.repeated;
    this.#counts.hours += counts.hours;
    this.#counts.corrections += counts.corrections;
  }

  async #storeNews(): Promise<void> {
    const items = this.#news;
    if (items.length === 0) return;
    this.#news = [];
    this.#counts.news += await cellarStub(this.#env, this.#cellar).takeArchivedNews(items);
    const bodies = items.flatMap(({ at, news }) =>
      isOfVessel(news) ? [{ vessel: news.vessel, at, body: news.body }] : [],
    );
    for (const [vessel, own] of Map.groupBy(bodies, (one) => one.vessel)) {
      const stub = vesselStub(this.#env, this.#cellar, vessel);
      await stub.takeArchivedNews(own.map(({ at, body }) => ({ at, body })));
      const alarms = this.#alarmsOf(vessel);
      for (const { body } of own)
        if (body.kind === 'alarm') alarms.set(body.change.alarm.alarm, body.change.alarm);
    }
  }

  async #settle(vessel: string, number: number): Promise<void> {
    const stub = vesselStub(this.#env, this.#cellar, vessel);
    const alarms = [...(this.#alarms.get(vessel)?.values() ?? [])];
    const adopted = await stub.adopt(this.#batches.get(vessel) ?? null, alarms, this.#now);
    if (!adopted) throw refused(number, `finds another batch in the vessel ${vessel}`, true);
    while (await stub.recallHistory(this.#now));
  }
}
