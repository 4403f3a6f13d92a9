/**
 * Plays the cellar a quarter of an hour at a time: sensors report through the gateway, cellar time moves
 * on, people read what Gyleward says and act on it.
 */
import { setTimeout as wait } from 'node:timers/promises';
import { stepSeconds } from '../scenario/course.ts';
import { type Deed, deedFor } from '../scenario/deed.ts';
import type { SimulatedCellar, SimulatedReading } from '../scenario/simulated-cellar.ts';
import { batches, vessels } from '../scenario/skerrow-yard.ts';
import type { HistoryEntry } from './cellar-client.ts';
import type { DrivenClock } from './driven-clock.ts';
import { type Doors, startBatch } from './set-up.ts';
import { spokenMoment, spokenNews } from './spoken-news.ts';

export const storyDays = 14;
const stepsPerDay = 86_400 / stepSeconds;
const storySteps = storyDays * stepsPerDay;

/** The story takes about a minute: long enough to watch it on the page, short enough to sit through. */
const stepMilliseconds = 60_000 / storySteps;

/** A step whose pack the gateway sends twice, as it does when an answer is lost. */
const sentTwiceStep = 5 * stepsPerDay + 30;

/** An hour in which the gateway has no network and keeps what it heard; less than counts as silence. */
const offline = { fromStep: 6 * stepsPerDay + 40, toStep: 6 * stepsPerDay + 44 } as const;

type Due = {
  readonly at: number;
  readonly deed: Deed;
  readonly vessel: string;
  readonly alarm: string;
};

export type Story = {
  /** Plays the fourteen days. */
  readonly play: (stopped: AbortSignal) => Promise<void>;
  /** Goes on with a quarter of an hour each quarter of an hour, until stopped. */
  readonly goOn: (stopped: AbortSignal) => Promise<void>;
  /** Reads what Gyleward has said since, and says it. */
  readonly hear: () => Promise<void>;
  /** Oldest first. */
  readonly heard: () => readonly HistoryEntry[];
  readonly highestShareOfRating: () => number;
  readonly repeats: () => { readonly sentTwice: number; readonly countedRepeated: number };
};

export const story = (
  doors: Doors,
  simulated: SimulatedCellar,
  clock: DrivenClock,
  startAt: number,
  say: (words: string) => void,
): Story => {
  const heard: HistoryEntry[] = [];
  const due: Due[] = [];
  const toStart = batches(startAt).filter((batch) => batch.startedAt > startAt);
  const rated = vessels.find(({ vessel }) => vessel === 'keg-7')?.ratedGaugePressurePascal ?? 0;
  let held: SimulatedReading[] = [];
  let steps = 0;
  let highestPascal = 0;
  let sentTwice = 0;
  let countedRepeated = 0;

  const hear = async (): Promise<void> => {
    const { history } = await doors.keeper.alarms();
    const fresh = history.slice(0, history.length - heard.length).reverse();
    for (const entry of fresh) {
      heard.push(entry);
      say(spokenNews(entry));
      if (entry.kind !== 'alarm' || entry.transition !== 'raised') continue;
      const deed = deedFor(entry.vessel, entry.alarm.kind);
      if (deed === null || due.some((one) => one.deed.kind === deed.kind)) continue;
      const at = entry.at + deed.afterHours * 3600;
      due.push({ at, deed, vessel: entry.vessel, alarm: entry.alarm.alarm });
    }
  };

  const actOn = async (now: number): Promise<void> => {
    for (const one of due.filter(({ at }) => at <= now)) {
      due.splice(due.indexOf(one), 1);
      simulated.apply(one.deed.kind);
      say(`${spokenMoment(now)}  ${one.deed.by}: ${one.deed.note}`);
      const person = await doors.person(one.deed.by);
      await person.acknowledge(one.vessel, one.alarm, one.deed.note);
    }
    for (const batch of toStart.filter(({ startedAt }) => startedAt <= now)) {
      toStart.splice(toStart.indexOf(batch), 1);
      await startBatch(doors.keeper, batch);
    }
  };

  const send = async (readings: readonly SimulatedReading[], index: number): Promise<void> => {
    held.push(...readings);
    if (index >= offline.fromStep && index < offline.toStep) return;
    const pack = held.map(({ vessel, channel, afterSeconds, value }) => ({
      vessel,
      channel,
      time: startAt + afterSeconds,
      value,
    }));
    held = [];
    await doors.gateway.sendReadings(pack);
    if (index !== sentTwiceStep) return;
    sentTwice += pack.length;
    countedRepeated += (await doors.gateway.sendReadings(pack)).repeated;
  };

  const step = async (arrived: (endsAt: number) => void | Promise<void>): Promise<void> => {
    await actOn(startAt + steps * stepSeconds);
    const { endsAfterSeconds, readings, truth } = simulated.step();
    highestPascal = Math.max(highestPascal, truth['keg-7']['gauge-pressure'] ?? 0);
    await arrived(startAt + endsAfterSeconds);
    await send(readings, steps);
    steps += 1;
    await hear();
    if (steps % stepsPerDay !== 0) return;
    const gravities = ['fermenter-1', 'fermenter-2', 'fermenter-3'] as const;
    const shown = gravities.map((name) => `${name} ${truth[name].gravity?.toFixed(4)}`);
    const bar = ((truth['keg-7']['gauge-pressure'] ?? 0) / 100_000).toFixed(2);
    say(
      `${spokenMoment(startAt + steps * stepSeconds)}  ${steps / stepsPerDay} of ${storyDays} days past: ${shown.join(', ')}, keg-7 ${bar} bar`,
    );
  };

  return {
    play: async (stopped) => {
      const since = performance.now();
      while (steps < storySteps && !stopped.aborted) {
        await step(clock.moveTo);
        const early = since + steps * stepMilliseconds - performance.now();
        if (early > 0) await wait(early);
      }
    },
    goOn: async (stopped) => {
      clock.letGo();
      while (!stopped.aborted) {
        const stop = { signal: stopped };
        await step(async (endsAt) => {
          await wait(Math.max(0, endsAt * 1000 - Date.now()), undefined, stop);
        }).catch((error: unknown) => {
          if (!stopped.aborted) throw error;
        });
      }
    },
    hear,
    heard: () => heard,
    highestShareOfRating: () => highestPascal / rated,
    repeats: () => ({ sentTwice, countedRepeated }),
  };
};
