/** From the POST of a dangerous reading to the request that reaches the receiver, on this machine. */
import { createServer } from 'node:http';
import { senmlMediaType } from '../../wire/senml-write.ts';
import { cellarClient } from '../demo/cellar-client.ts';
import { foundCellar } from '../found-cellar.ts';
import type { BenchHost } from './bench-cellar.ts';
import { milliseconds } from './flood.ts';

const kegs = 200;
/** Goal of the project on one's own machine. */
const goalMilliseconds = 250;

type Told = { readonly data?: { readonly vessel?: string } };

export const alarmLatency = async (host: BenchHost): Promise<readonly string[]> => {
  const cellar = 'bench-alarms';
  const keeperKey = await foundCellar(host.url, host.operatorSecret, { cellar, title: cellar });
  if (keeperKey === null) throw new Error(`the cellar ${cellar} exists already`);
  const keeper = cellarClient(host.url, cellar, keeperKey);
  const waiting = new Map<string, (at: number) => void>();
  const server = createServer(async (request, answer) => {
    const at = performance.now();
    const parts: Buffer[] = [];
    for await (const part of request) parts.push(part as Buffer);
    const { data } = JSON.parse(Buffer.concat(parts).toString('utf8')) as Told;
    waiting.get(data?.vessel ?? '')?.(at);
    answer.writeHead(204).end();
  });
  await new Promise<void>((settle) => server.listen(0, '127.0.0.1', settle));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port to receive on');
  try {
    await keeper.addReceiver('Bell of the bench', `http://127.0.0.1:${address.port}/`);
    const names = Array.from({ length: kegs }, (_, index) => `keg-${index + 1}`);
    for (const vessel of names)
      await keeper.create('vessels', {
        vessel,
        title: vessel,
        kind: 'keg',
        volumeLitre: 30,
        headspaceLitre: 1.2,
        ratedGaugePressurePascal: 300_000,
      });
    const key = await keeper.makeKey('Gauges', 'sensor', names);
    const took: number[] = [];
    for (const vessel of names) {
      const arrived = new Promise<number>((settle) => waiting.set(vessel, settle));
      const body = [
        { n: `${vessel}/gauge-pressure`, u: 'Pa', t: Math.floor(Date.now() / 1000), v: 297_000 },
      ];
      const begin = performance.now();
      const answer = await fetch(`${host.url}/v1/cellars/${cellar}/readings`, {
        method: 'POST',
        headers: { authorization: `Bearer ${key}`, 'content-type': senmlMediaType },
        body: JSON.stringify(body),
      });
      if (!answer.ok) throw new Error(`the reading was answered ${answer.status}`);
      await answer.body?.cancel();
      took.push((await arrived) - begin);
    }
    took.sort((one, other) => one - other);
    return [
      `From the POST of a dangerous reading to the receiver's request, ${kegs} kegs one after the other`,
      `  p50 ${milliseconds({ took }, 0.5)}, p99 ${milliseconds({ took }, 0.99)}, longest ${milliseconds({ took }, 1)}; goal: p99 within ${goalMilliseconds} ms`,
    ];
  } finally {
    server.close();
    server.closeAllConnections();
  }
};
