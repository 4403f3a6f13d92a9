/**
 * kill -9 at random moments under load: of the runtime alone, of the whole host, and of a host that is
 * still starting. Afterwards everything that was acknowledged must be on disk, once and as it was sent, and
 * every alarm that fell due meanwhile must be in the history once and have reached its receiver.
 */
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { type CellarClient, cellarClient } from '../demo/cellar-client.ts';
import { startWebhookReceiver, type WebhookReceiver } from '../demo/webhook-receiver.ts';
import { freePort, portFaultWords } from '../port.ts';
import { type Dice, dice } from '../simulated/dice.ts';
import {
  type AlarmFindings,
  alarmsHold,
  alarmsInWords,
  compareAlarms,
  type DueAlarm,
} from './compare-alarms.ts';
import { compareReadings, readingsHold, readingsInWords } from './compare-readings.ts';
import { runGateway } from './gateway.ts';
import { type HostProcess, startHostProcess } from './host-process.ts';
import { Ledger } from './ledger.ts';
import { gatewayCount, loadBatches, loadPacks, loadVessels, pastDays } from './load.ts';
import { readOnDisk } from './on-disk.ts';
import type { Step, TortureSettings } from './step.ts';
import { cellar, readingsAddress } from './yard.ts';

const steepSeconds = 86_400;
/** How long news may take to arrive once all is calm; only a run that fails waits so long. */
const patienceMilliseconds = 120_000;

type Watch = {
  readonly due: readonly DueAlarm[];
  /** Kegs whose single reading is dangerous. */
  readonly kegs: readonly string[];
  /** Unix seconds at which the last clock of a steep is over. */
  readonly lastDueAt: number;
};

/** Kegs that a reading puts into danger, and steeps whose time is over somewhere within the run. */
const layOut = async (keeper: CellarClient, rounds: number, chance: Dice): Promise<Watch> => {
  const now = Date.now() / 1000;
  for (const vessel of loadVessels) await keeper.create('vessels', vessel);
  for (const batch of loadBatches(now - pastDays * 86_400)) await keeper.create('batches', batch);
  const names = Array.from({ length: rounds }, (_, index) => index + 1);
  const bare = { volumeLitre: 30, headspaceLitre: 1.2 };
  const kegs = names.map((name) => `keg-${name}`);
  for (const vessel of kegs)
    await keeper.create('vessels', {
      ...bare,
      vessel,
      title: vessel,
      kind: 'keg',
      ratedGaugePressurePascal: 300_000,
    });
  const steeps = names.map((name) => `steep-${name}`);
  // About what a round takes; a run on a slow machine is longer, and the clocks are then over sooner in it.
  const dueAt = steeps.map(() => now + 5 + chance.uniform(0, 2.5 * rounds));
  for (const [index, vessel] of steeps.entries()) {
    await keeper.create('vessels', { ...bare, vessel, title: vessel, kind: 'steeping-tank' });
    await keeper.create('batches', {
      vessel,
      batch: `infusion-${index + 1}`,
      title: 'Rooibos and lemon verbena, cold',
      drink: 'infusion',
      startedAt: (dueAt[index] ?? now) - steepSeconds,
      limits: { 'cold-steep': { steepSeconds } },
    });
  }
  return {
    due: [
      ...kegs.map((vessel) => ({ vessel, kind: 'over-pressure' }) as const),
      ...steeps.map((vessel) => ({ vessel, kind: 'time-reached' }) as const),
    ],
    kegs,
    lastDueAt: Math.max(...dueAt),
  };
};

/** Waits until the last news has left; false where it had to give up. What is then missing is missing. */
const settle = async (keeper: CellarClient, watch: Watch): Promise<boolean> => {
  await wait(Math.max(0, watch.lastDueAt * 1000 - Date.now()));
  const patience = performance.now() + patienceMilliseconds;
  const isCalm = async (): Promise<boolean> => {
    const { standing } = await keeper.alarms();
    const standingNow = new Set(standing.map(({ vessel, kind }) => `${vessel} ${kind}`));
    return (
      watch.due.every(({ vessel, kind }) => standingNow.has(`${vessel} ${kind}`)) &&
      (await keeper.waitingNews()) === 0
    );
  };
  while (!(await isCalm().catch(() => false))) {
    if (performance.now() > patience) return false;
    await wait(250);
  }
  // What a vessel still has in its outbox would arrive now.
  await wait(1000);
  return true;
};

type Killed = { whole: number; starting: number; runtime: number };

/** One round: load for a while, then a death, then a start. Returns the host that is up. */
const killOnce = async (
  host: HostProcess,
  start: () => Promise<HostProcess>,
  startAndKill: (afterMilliseconds: number) => Promise<void>,
  chance: Dice,
  killed: Killed,
): Promise<HostProcess> => {
  await wait(chance.uniform(200, 1500));
  const wanted = chance.pick(['whole', 'runtime', 'whole-then-starting', 'runtime']);
  if (wanted === 'runtime' && host.killRuntime()) {
    killed.runtime += 1;
    return host;
  }
  await host.killWhole();
  killed.whole += 1;
  if (wanted === 'whole-then-starting') {
    await startAndKill(chance.uniform(50, 900));
    killed.starting += 1;
  }
  await wait(chance.uniform(0, 400));
  return start();
};

const receiverOf = (chance: Dice): Promise<WebhookReceiver> =>
  startWebhookReceiver(() =>
    chance.chance(0.1) ? 'ill' : chance.chance(0.1) ? 'forgetful' : 'well',
  );

export const killRounds = async (settings: TortureSettings): Promise<readonly Step[]> => {
  const { rounds, seed, folder, say } = settings;
  const chance = dice(seed);
  const port = await freePort('127.0.0.1', 0);
  if (!port.ok) throw new Error(portFaultWords(port.fault));
  const state = join(folder, 'state');
  const begin = () => startHostProcess({ state, port: port.value });
  const receiver = await receiverOf(dice(seed + 1));
  let host = await begin().up;
  const stop = new AbortController();
  try {
    const { url, keeperKey } = host;
    if (keeperKey === null) throw new Error('no keeper key was printed');
    const keeper = cellarClient(url, cellar, keeperKey);
    receiver.useSecret(await keeper.addReceiver('Torture bell', receiver.url));
    const watch = await layOut(keeper, rounds, chance);
    const address = readingsAddress(host);
    const all = [...loadVessels.map(({ vessel }) => vessel), ...watch.kegs];
    const startedAt = Date.now() / 1000 - pastDays * 86_400;
    const ledger = new Ledger();
    const gateways: Promise<void>[] = [];
    for (let gateway = 0; gateway < gatewayCount; gateway += 1) {
      const own = dice(seed + 100 + gateway);
      const key = await keeper.makeKey(`Gateway ${gateway + 1}`, 'sensor', all);
      gateways.push(
        runGateway(
          {
            door: () => ({ address, key }),
            dice: own,
            ledger,
            next: loadPacks(gateway, startedAt, own),
            pauseMilliseconds: [0, 10],
            persistent: false,
          },
          stop.signal,
        ),
      );
    }
    const kegKey = await keeper.makeKey('Gauge reader', 'sensor', watch.kegs);
    const waitingKegs = [...watch.kegs];
    const gauges = runGateway(
      {
        door: () => ({ address, key: kegKey }),
        dice: dice(seed + 200),
        ledger,
        next: () => {
          const vessel = waitingKegs.shift();
          const time = Math.floor(Date.now() / 1000);
          return vessel === undefined
            ? null
            : [{ vessel, channel: 'gauge-pressure', time, value: 297_000 }];
        },
        pauseMilliseconds: [300, 1500],
        // A gauge that was not heard is read again: the alarm is due.
        persistent: true,
      },
      new AbortController().signal,
    );

    const killed: Killed = { whole: 0, starting: 0, runtime: 0 };
    const startAndKill = async (afterMilliseconds: number): Promise<void> => {
      const starting = begin();
      await wait(afterMilliseconds);
      await starting.killWhole();
    };
    for (let round = 1; round <= rounds; round += 1) {
      host = await killOnce(host, () => begin().up, startAndKill, chance, killed);
      if (round % 5 === 0 || round === rounds)
        say(`  ${round} of ${rounds} rounds, ${ledger.acknowledgedPacks} packs acknowledged`);
    }
    await gauges;
    stop.abort();
    await Promise.all(gateways);
    const settled = await settle(keeper, watch);
    if (!settled) for (const line of host.log.slice(-20)) say(`  worker: ${line}`);
    await host.stop();

    const disk = readOnDisk(join(state, 'objects'), folder, 'with-log');
    const readings = compareReadings(ledger.packs, disk.readings);
    const alarms: AlarmFindings = compareAlarms(
      watch.due,
      disk.steps,
      disk.newsIds,
      receiver.deliveries(),
    );
    const deaths = killed.whole + killed.starting + killed.runtime;
    return [
      {
        words: `kill -9: ${deaths} times (${killed.runtime} of the runtime alone, ${killed.whole} of the whole host, ${killed.starting} of a host that was starting), under ${gatewayCount + 1} gateways`,
        holds: deaths >= rounds && ledger.refusals.length === 0,
      },
      { words: readingsInWords(readings), holds: readingsHold(readings) },
      {
        words: `${alarmsInWords(alarms)}${settled ? '' : `; not all had come after ${patienceMilliseconds / 1000} s of calm`}`,
        holds: alarmsHold(alarms),
      },
      {
        words: `the receiver refused ${receiver.refused().length} requests${receiver.refused()[0] ? `: ${receiver.refused()[0]}` : ''}${ledger.refusals[0] ? `; a gateway was refused ${ledger.refusals[0]}` : ''}`,
        holds: receiver.refused().length === 0,
      },
    ];
  } finally {
    stop.abort();
    await host.killWhole();
    receiver.close();
  }
};
