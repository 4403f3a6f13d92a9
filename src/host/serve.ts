/**
 * `npm start`: runs Gyleward for one cellar on this machine, with its state in a folder.
 * Environment: STATE (folder, .state), HOST (127.0.0.1), PORT (8787), CELLAR (name of the cellar made at
 * the first run, "cellar"), ALLOW_PRIVATE_RECEIVERS (no), PUBLIC_URL (none). Argument: --another-keeper-key.
 * The worker's log, one JSON object a line, goes to standard error.
 */
import { anotherKeeperKey, foundCellar } from './found-cellar.ts';
import { builtWorker, startHost } from './miniflare-host.ts';
import { freePort, portFaultWords } from './port.ts';
import { serveSettings } from './serve-settings.ts';
import { openStateFolder, stateFaultWords } from './state-folder.ts';
import { untilStopped } from './until-stopped.ts';

const giveUp = (words: string): never => {
  console.error(`gyleward: ${words}`);
  process.exit(1);
};

const read = serveSettings(process.env, process.argv.slice(2));
const settings = read.ok ? read.value : giveUp(read.fault);
const port = await freePort(settings.host, settings.port);
if (!port.ok) giveUp(portFaultWords(port.fault));
const opened = await openStateFolder(settings.state);
const state = opened.ok ? opened.value : giveUp(stateFaultWords(opened.fault));

const stopped = untilStopped();
const host = await startHost({
  worker: builtWorker,
  objects: state.objects,
  host: settings.host,
  port: settings.port,
  ...state.secrets,
  allowPrivateReceivers: settings.allowPrivateReceivers,
  publicUrl: settings.publicUrl,
  clock: null,
  onLog: (line) => console.error(line),
}).catch((error: unknown) => giveUp(`the worker does not start: ${String(error)}`));

const { cellar } = settings;
const { operatorSecret } = state.secrets;
const firstOrAsked = async (): Promise<string | null> =>
  (await foundCellar(host.url, operatorSecret, { cellar, title: cellar })) ??
  (settings.anotherKeeperKey ? anotherKeeperKey(host.url, operatorSecret, cellar) : null);
const key = await firstOrAsked().catch(async (error: unknown) => {
  await host.dispose();
  return giveUp(`the cellar "${cellar}" cannot be made: ${String(error)}`);
});

console.log(`Gyleward is up at ${host.url}/ and keeps its state in ${state.folder}`);
if (key !== null) {
  console.log(`\nKeeper key of the cellar "${cellar}":\n\n  ${key}\n`);
  console.log(`Sign in with it at ${host.url}/ and put it somewhere safe: it is kept nowhere`);
  console.log('in clear and will not be shown again. Whoever holds it can do everything here.');
  console.log('If it is lost, npm start -- --another-keeper-key makes another.\n');
} else {
  console.log(`Sign in at ${host.url}/ with a key of the cellar "${cellar}".`);
}
if (!['127.0.0.1', '::1', 'localhost'].includes(settings.host)) {
  console.log(
    `Anyone who reaches this machine on port ${new URL(host.url).port} can knock, in plain HTTP:`,
  );
  console.log(
    'put a proxy with HTTPS before it; the page signs in over HTTPS or on this machine only.',
  );
}
console.log('Gyleward advises: it is no relief device and no gas monitor. Ctrl-C stops it.');

await stopped;
await host.dispose();
console.log('Gyleward has stopped; nothing acknowledged is lost.');
process.exit(0);
