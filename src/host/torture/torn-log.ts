/**
 * A disk that loses or garbles the end of what it had promised to keep: between a kill and the start the
 * tails of the objects' write-ahead logs are cut, overwritten or taken away. No program can get back what
 * the disk has lost. What SQLite promises is less, and that is checked: what was moved into the database
 * before stays, each commit is there whole or not at all, those that are missing are the last ones, nothing
 * is made up, and Gyleward starts and goes on.
 */
import {
  closeSync,
  fstatSync,
  ftruncateSync,
  openSync,
  readdirSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { freePort, portFaultWords } from '../port.ts';
import { type Dice, dice } from '../simulated/dice.ts';
import { compareReadings } from './compare-readings.ts';
import { startHostProcess } from './host-process.ts';
import { Ledger, type SentPack } from './ledger.ts';
import { loadPacks, pastDays } from './load.ts';
import { type OnDisk, readOnDisk } from './on-disk.ts';
import type { Step, TortureSettings } from './step.ts';
import { describeAgain, openYard, sendInOrder } from './yard.ts';

/** Enough that SQLite has moved some of it into the database, which it does at 1,000 pages of log. */
const packsSent = 420;
const packsAfter = 10;

/** A page of the database with the head of its frame in the log: SQLite, "WAL-mode File Format". */
const frameBytes = 4096 + 24;
/** Damage reaches into this many frames from the end: two or three commits. */
const framesHurt = 10;

const hurts = ['cut', 'garbled', 'zeroed', 'taken away'] as const;

const hurt = (file: string, how: (typeof hurts)[number], chance: Dice): void => {
  if (how === 'taken away') {
    rmSync(file);
    return;
  }
  const log = openSync(file, 'r+');
  try {
    const { size } = fstatSync(log);
    const bytes = Math.min(size, Math.floor(chance.uniform(1, framesHurt * frameBytes)));
    if (how === 'cut') ftruncateSync(log, size - bytes);
    else {
      const noise = Buffer.from(
        Array.from({ length: bytes }, () => (how === 'zeroed' ? 0 : chance.uniform(0, 256))),
      );
      writeSync(log, noise, 0, bytes, size - bytes);
    }
  } finally {
    closeSync(log);
  }
};

const nameOf = ({ vessel, channel, time }: OnDisk['readings'][number]): string =>
  `${vessel}/${channel}/${time}`;

/** Packs, as each vessel got them: whole, missing, in parts; and present behind a missing one. */
const wholeness = (packs: readonly SentPack[], disk: OnDisk) => {
  const found = new Set(disk.readings.map(nameOf));
  const missingSince = new Set<string>();
  const outcome = { whole: 0, missing: 0, inParts: 0, outOfOrder: 0 };
  for (const { readings, acknowledged } of packs) {
    if (!acknowledged) continue;
    for (const [vessel, own] of Map.groupBy(readings, (reading) => reading.vessel)) {
      const there = own.filter((reading) => found.has(nameOf(reading))).length;
      if (there === own.length) {
        outcome.whole += 1;
        if (missingSince.has(vessel)) outcome.outOfOrder += 1;
      } else if (there === 0) {
        outcome.missing += 1;
        missingSince.add(vessel);
      } else outcome.inParts += 1;
    }
  }
  return outcome;
};

export const tornLog = async (settings: TortureSettings): Promise<readonly Step[]> => {
  const { folder, seed, say } = settings;
  const chance = dice(seed + 7);
  const port = await freePort('127.0.0.1', 0);
  if (!port.ok) throw new Error(portFaultWords(port.fault));
  const state = join(folder, 'state');
  const objects = join(state, 'objects');
  const begin = () => startHostProcess({ state, port: port.value }).up;
  let host = await begin();
  try {
    const { door, keeperKey } = await openYard(host);
    const ledger = new Ledger();
    const next = loadPacks(0, Date.now() / 1000 - pastDays * 86_400, dice(seed));
    const statuses = await sendInOrder(door, ledger, packsSent, next);
    await host.killWhole();
    const whole = compareReadings(ledger.packs, readOnDisk(objects, folder, 'with-log').readings);
    const settled = readOnDisk(objects, folder, 'without-log');

    const logs = readdirSync(objects, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.sqlite-wal') && file.includes('VesselObject'))
      // The order of a folder is nobody's promise, and the dice must fall alike.
      .sort();
    const damage = logs.map((file, index) => {
      // The log of the timers is hurt as well, but not taken away: it is not what is counted here.
      const timers = basename(file).startsWith('metadata');
      const how = timers ? 'cut' : (hurts[index % hurts.length] ?? 'cut');
      hurt(join(objects, file), how, chance);
      return how;
    });
    say(`  ${logs.length} logs hurt: ${damage.join(', ')}`);

    host = await begin();
    // Where all of a log is gone and nothing was moved yet, the vessel's description went with it.
    await describeAgain(host.url, keeperKey);
    const sentAgain = new Ledger();
    const after = await sendInOrder(door, sentAgain, packsAfter, next);
    await host.stop();
    const disk = readOnDisk(objects, folder, 'with-log');
    const findings = compareReadings([...ledger.packs, ...sentAgain.packs], disk.readings);
    const kept = new Set(disk.readings.map(nameOf));
    const lostSettled = settled.readings.filter((reading) => !kept.has(nameOf(reading))).length;
    const packs = wholeness(ledger.packs, disk);
    const newLost = compareReadings(sentAgain.packs, disk.readings).missing;
    return [
      {
        words: `before the damage: ${whole.acknowledged} acknowledged readings, ${whole.missing} missing; ${settled.readings.length} of them were in the databases, the others in the logs`,
        holds:
          whole.missing === 0 &&
          settled.readings.length > 0 &&
          settled.readings.length < whole.acknowledged &&
          statuses.every((status) => status === 200),
      },
      {
        words: `it starts on damaged logs and goes on, its vessels described again: ${after.filter((status) => status === 200).length} of ${packsAfter} packs acknowledged, ${newLost} readings of them missing`,
        holds: after.every((status) => status === 200) && newLost === 0,
      },
      {
        words: `of what was in the databases ${lostSettled} readings are missing; ${findings.twice} twice, ${findings.altered} altered, ${findings.foreign} made up`,
        holds: lostSettled === 0 && findings.twice + findings.altered + findings.foreign === 0,
      },
      {
        words: `packs as vessels got them: ${packs.whole} whole, ${packs.missing} missing, ${packs.inParts} in parts, ${packs.outOfOrder} behind a missing one`,
        // Damage that loses nothing has not been there.
        holds: packs.missing > 0 && packs.inParts === 0 && packs.outOfOrder === 0,
      },
      {
        words: `in plain words: a disk that loses what it has confirmed loses acknowledged readings, here ${findings.missing} of ${findings.acknowledged}; SQLite promises the older ones, and no half packs`,
        holds: findings.missing > 0,
      },
    ];
  } finally {
    await host.killWhole();
  }
};
