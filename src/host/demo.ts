/**
 * `npm run demo`: fourteen days at Skerrow Yard in about a minute, on a throwaway cellar. It plays the
 * sensors, the gateway and the people; Gyleward itself runs as it always does, and is told over HTTP only.
 * Afterwards the cellar stays up, on real time, until Ctrl-C. Environment: PORT (any free one).
 * Arguments: --once (check what came, print a verdict, exit 0 or 1), --seed NUMBER (other noise).
 */
import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { drivenClock } from './demo/driven-clock.ts';
import { setUp } from './demo/set-up.ts';
import { story, storyDays } from './demo/story.ts';
import { verdict } from './demo/verdict.ts';
import { startWebhookReceiver } from './demo/webhook-receiver.ts';
import { builtWorker, startHost } from './miniflare-host.ts';
import { freePort, portFaultWords } from './port.ts';
import { stepSeconds } from './scenario/course.ts';
import { expected } from './scenario/expected.ts';
import { simulatedCellar } from './scenario/simulated-cellar.ts';
import { skerrowYard } from './scenario/skerrow-yard.ts';
import { untilStopped } from './until-stopped.ts';

const giveUp = (words: string): never => {
  console.error(`demo: ${words}`);
  process.exit(1);
};

const readArguments = (): { readonly once: boolean; readonly seed: number } => {
  try {
    const { values } = parseArgs({
      options: {
        once: { type: 'boolean', default: false },
        seed: { type: 'string', default: '1' },
      },
    });
    if (!/^\d{1,9}$/.test(values.seed))
      return giveUp(`--seed is ${values.seed}; give a whole number of at most 9 digits`);
    return { once: values.once, seed: Number(values.seed) };
  } catch (error) {
    return giveUp(error instanceof Error ? error.message : String(error));
  }
};

const { once, seed } = readArguments();
const wantedPort = Number(process.env.PORT ?? 0);
if (!Number.isInteger(wantedPort) || wantedPort < 0 || wantedPort > 65_535)
  giveUp(`PORT is ${process.env.PORT}; give a whole number from 0 (any free port) to 65535`);
const port = await freePort('127.0.0.1', wantedPort);
if (!port.ok) giveUp(portFaultWords(port.fault));

const stopping = new AbortController();
void untilStopped().then(() => stopping.abort());
const stopped = stopping.signal;

const startAt = Math.floor(Date.now() / 1000 / stepSeconds) * stepSeconds - storyDays * 86_400;
const clock = drivenClock(startAt);
const folder = mkdtempSync(join(tmpdir(), 'gyleward-demo-'));
const receiver = await startWebhookReceiver();
const operatorSecret = randomBytes(32).toString('base64url');
/** The worker's last words, for when something goes wrong. */
const log: string[] = [];

const host = await startHost({
  worker: builtWorker,
  objects: join(folder, 'objects'),
  host: '127.0.0.1',
  port: wantedPort,
  operatorSecret,
  cookieSecret: randomBytes(32).toString('base64url'),
  allowPrivateReceivers: true,
  clock: clock.now,
  onLog: (line) => {
    log.push(line);
    if (log.length > 40) log.shift();
  },
}).catch((error: unknown) => {
  rmSync(folder, { recursive: true, force: true });
  return giveUp(`the worker does not start: ${String(error)}`);
});

const play = async (): Promise<boolean> => {
  const doors = await setUp(host.url, operatorSecret, startAt, receiver);
  console.log(`${skerrowYard.title} is up at ${host.url}/`);
  console.log(`Sign in with the keeper key  ${doors.keeperKey}`);
  console.log(
    `${storyDays} days of cellar time pass in about a minute; times are UTC. Place and people are invented.\n`,
  );
  const told = story(doors, simulatedCellar(seed), clock, startAt, (words) => console.log(words));
  await told.play(stopped);
  if (stopped.aborted) return true;

  // News leaves a vessel on a timer of its own, so the last of it is given a moment.
  const patience = performance.now() + 20_000;
  do {
    await wait(200);
    await told.hear();
  } while ((await doors.keeper.waitingNews()) > 0 && performance.now() < patience);

  const raised = told
    .heard()
    .filter((entry) => entry.kind === 'alarm' && entry.transition === 'raised').length;
  console.log(
    `\n${raised} alarms in ${storyDays} days; ${receiver.received().length} pieces of news arrived at the webhook, signatures verified.`,
  );
  console.log('Gyleward advises: it is no relief device and no gas monitor.');
  if (once) {
    const checks = verdict(expected, {
      history: told.heard(),
      received: receiver.received(),
      refused: receiver.refused(),
      highestShareOfRating: told.highestShareOfRating(),
      ...told.repeats(),
    });
    console.log('');
    for (const { words, holds } of checks)
      console.log(`${holds ? 'as expected ' : 'NOT EXPECTED'}  ${words}`);
    const good = checks.every(({ holds }) => holds);
    console.log(good ? '\nverdict: exactly what had to come has come' : '\nverdict: failed');
    return good;
  }
  console.log(`The page stays up at ${host.url}/ and follows real time. Ctrl-C ends it.`);
  await told.goOn(stopped);
  return true;
};

let good = false;
try {
  good = await play();
} catch (error) {
  console.error(`demo: ${error instanceof Error ? error.message : String(error)}`);
  for (const line of log) console.error(`worker: ${line}`);
} finally {
  receiver.close();
  await host.dispose();
  rmSync(folder, { recursive: true, force: true });
}
process.exit(good ? 0 : 1);
