/** A small cellar of the torture: the vessels of the load, one gateway's door, and what was sent through it. */
import type { WritableReading } from '../../wire/senml-write.ts';
import { cellarClient } from '../demo/cellar-client.ts';
import { type Door, sendPack } from './gateway.ts';
import type { HostProcess } from './host-process.ts';
import type { Ledger } from './ledger.ts';
import { loadVessels } from './load.ts';

export const cellar = 'cellar';

export const readingsAddress = (host: HostProcess): string =>
  `${host.url}/v1/cellars/${cellar}/readings`;

/** Describes the vessels again, where they are in the cellar's list already. */
export const describeAgain = async (url: string, keeperKey: string): Promise<void> => {
  for (const { vessel, ...description } of loadVessels) {
    const answer = await fetch(`${url}/v1/cellars/${cellar}/vessels/${vessel}`, {
      method: 'PUT',
      headers: { authorization: `Bearer ${keeperKey}`, 'content-type': 'application/json' },
      body: JSON.stringify({ vessel, ...description }),
    });
    const text = await answer.text();
    if (!answer.ok) throw new Error(`${vessel} was not described again: ${answer.status} ${text}`);
  }
};

/** On a host that was started for the first time: its vessels, and the door of a gateway. */
export const openYard = async (
  host: HostProcess,
): Promise<{ readonly keeperKey: string; readonly door: Door }> => {
  const { keeperKey, url } = host;
  if (keeperKey === null) throw new Error('no keeper key was printed');
  const keeper = cellarClient(url, cellar, keeperKey);
  for (const vessel of loadVessels) await keeper.create('vessels', vessel);
  const names = loadVessels.map(({ vessel }) => vessel);
  const key = await keeper.makeKey('Gateway', 'sensor', names);
  return { keeperKey, door: { address: readingsAddress(host), key } };
};

/** Sends packs one after the other, once each; gives the statuses that were answered, 0 for none. */
export const sendInOrder = async (
  door: Door,
  ledger: Ledger,
  packs: number,
  next: () => readonly WritableReading[] | null,
): Promise<readonly number[]> => {
  const statuses: number[] = [];
  for (let pack = 0; pack < packs; pack += 1) {
    const readings = next();
    if (readings === null) throw new Error('the load has run out of readings');
    const acknowledge = ledger.open(readings);
    const { outcome, status } = await sendPack(door, readings);
    if (outcome === 'acknowledged') acknowledge();
    statuses.push(status);
  }
  return statuses;
};
