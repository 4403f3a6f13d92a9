/**
 * The host's clock is set wrong and set right again, by hours and days, both ways, while sensors go on with
 * clocks that are right. Readings that are dated ahead of the host's clock are refused, so that gateways
 * keep them and send them again. In the end every reading must be there, and no sensor may have been called
 * silent and no fermentation stalled; one sensor that truly falls silent is the control. The clock is driven,
 * and taken as a real one that leaps.
 */
import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { WritableReading } from '../../wire/senml-write.ts';
import { cellarClient } from '../demo/cellar-client.ts';
import { drivenClock } from '../demo/driven-clock.ts';
import { foundCellar } from '../found-cellar.ts';
import { builtWorker, startHost } from '../miniflare-host.ts';
import { vessels } from '../scenario/skerrow-yard.ts';
import { dice } from '../simulated/dice.ts';
import { compareReadings, readingsHold, readingsInWords } from './compare-readings.ts';
import { sendPack } from './gateway.ts';
import { Ledger } from './ledger.ts';
import { readOnDisk } from './on-disk.ts';
import type { Step, TortureSettings } from './step.ts';

const hour = 3600;
const stepSeconds = hour / 4;

/**
 * Hours by which the host's clock is wrong, and hours for which it is. Ahead by more than the five hours
 * after which silence is told; behind for less than that, for a gateway whose readings are refused all that
 * time is silent indeed.
 */
const phases = [
  { wrongHours: 0, hours: 12 },
  { wrongHours: 7, hours: 8 },
  { wrongHours: 0, hours: 8 },
  { wrongHours: -6, hours: 8 },
  { wrongHours: 0, hours: 8 },
  { wrongHours: 50, hours: 8 },
  { wrongHours: 0, hours: 8 },
  { wrongHours: -50, hours: 4 },
  { wrongHours: 0, hours: 14 },
] as const;

/** The sensor that truly falls silent, with the last phase. */
const silentVessel = 'barrel-3';
const watched = vessels.filter(({ vessel }) =>
  ['fermenter-1', 'fermenter-2', silentVessel].includes(vessel),
);

/** Real time for each step, several looks of an object at its clock. */
const stepMilliseconds = 40;

/** Made anew for each run: it guards a throwaway cellar. */
const secret = randomBytes(32).toString('base64url');

export const clockJumps = async ({ folder, seed }: TortureSettings): Promise<readonly Step[]> => {
  const chance = dice(seed);
  const cellar = 'clock-yard';
  const begin = Math.floor(Date.now() / 1000 / stepSeconds) * stepSeconds - 10 * 86_400;
  const clock = drivenClock(begin);
  const objects = join(folder, 'objects');
  const log: string[] = [];
  const host = await startHost({
    worker: builtWorker,
    objects,
    host: '127.0.0.1',
    port: 0,
    operatorSecret: secret,
    cookieSecret: secret,
    allowPrivateReceivers: false,
    clock: clock.now,
    clockLeaps: 'unforeseen',
    onLog: (line) => log.push(line),
  });
  const ledger = new Ledger();
  let refusedOnce = 0;
  let jumps = 0;
  try {
    const keeperKey = await foundCellar(host.url, secret, { cellar, title: 'Clock yard' });
    if (keeperKey === null) throw new Error('the throwaway cellar exists already');
    const keeper = cellarClient(host.url, cellar, keeperKey);
    for (const vessel of watched) await keeper.create('vessels', vessel);
    for (const vessel of ['fermenter-1', 'fermenter-2'])
      await keeper.create('batches', {
        vessel,
        batch: `ale-in-${vessel}`,
        title: 'Ale',
        drink: 'ale',
        startedAt: begin,
        originalGravity: 1.048,
        expectedTerminalGravity: 1.011,
      });
    await keeper.create('batches', {
      vessel: silentVessel,
      batch: 'elderberry',
      title: 'Fortified elderberry in oak',
      drink: 'wine',
      startedAt: begin - 86_400,
      temperatureBand: { lowCelsius: 15, highCelsius: 23 },
      deeds: [
        { deed: 'tested', at: begin - 3600, note: null },
        { deed: 'topped', at: begin - 3600, note: null },
      ],
    });
    const names = watched.map(({ vessel }) => vessel);
    const key = await keeper.makeKey('Gateway', 'sensor', names);
    const door = { address: `${host.url}/v1/cellars/${cellar}/readings`, key };

    const readingsAt = (time: number, last: boolean): readonly WritableReading[] => {
      const days = (time - begin) / 86_400;
      return watched.flatMap(({ vessel }): readonly WritableReading[] => {
        const temperature = Number((19 + chance.normal(0, 0.1)).toFixed(2));
        if (vessel === silentVessel)
          return last ? [] : [{ vessel, channel: 'temperature', time, value: temperature }];
        const gravity = 1.011 + 0.037 / (1 + Math.exp(1.9 * (days - 2.2)));
        const value = Number((gravity + chance.normal(0, 2e-4)).toFixed(4));
        return [
          { vessel, channel: 'temperature', time, value: temperature },
          { vessel, channel: 'gravity', time, value },
        ];
      });
    };

    let time = begin;
    let kept: {
      readonly readings: readonly WritableReading[];
      readonly acknowledge: () => void;
    }[] = [];
    for (const [index, { wrongHours, hours }] of phases.entries()) {
      if (index > 0) jumps += 1;
      for (let step = 0; step < (hours * hour) / stepSeconds; step += 1) {
        time += stepSeconds;
        clock.moveTo(time + wrongHours * hour);
        // The leap is seen by a timer as often as by a reading: the dice say which comes first.
        if (chance.chance(0.5)) await wait(stepMilliseconds);
        const readings = readingsAt(time, index === phases.length - 1);
        kept.push({ readings, acknowledge: ledger.open(readings) });
        const { outcome, words } = await sendPack(
          door,
          kept.flatMap((pack) => pack.readings),
        );
        if (outcome === 'acknowledged') {
          for (const { acknowledge } of kept) acknowledge();
          kept = [];
        } else if (outcome === 'refused' && wrongHours < 0) refusedOnce += 1;
        else ledger.refuse(words);
        await wait(stepMilliseconds);
      }
    }
    // What silence alone brings about is seen by a timer.
    await wait(20 * stepMilliseconds);
  } finally {
    await host.dispose();
  }
  const disk = readOnDisk(objects, folder, 'with-log');
  const findings = compareReadings(ledger.packs, disk.readings);
  const raised = disk.steps.filter(({ transition }) => transition === 'raised');
  const wanted = raised.filter(
    ({ vessel, kind }) => vessel === silentVessel && kind === 'silent-sensor',
  );
  const others = raised.filter((step) => !wanted.includes(step));
  const away = log.filter((line) => line.includes('"was-away"')).length;
  return [
    {
      words: `the clock leapt ${jumps} times, by up to 50 h; ${refusedOnce} packs dated ahead of it were refused and sent again; ${away} times an object noticed that nobody was there`,
      holds: refusedOnce > 0 && away > 0 && ledger.refusals.length === 0,
    },
    {
      words: `${readingsInWords(findings)}${ledger.refusals[0] ? `; refused: ${ledger.refusals[0]}` : ''}`,
      holds: readingsHold(findings) && findings.unacknowledged === 0,
    },
    {
      words: `false alarms: ${others.length}${others[0] ? `, first ${others[0].kind} in ${others[0].vessel}` : ''}; the sensor that truly fell silent was told ${wanted.length} times`,
      holds: others.length === 0 && wanted.length === 1,
    },
  ];
};
