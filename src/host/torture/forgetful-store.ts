/**
 * A store that does what a store must not: it acknowledges readings while they are in memory, and writes
 * them to its file later. It stands in for Gyleward in the torture's control, where losses must be found.
 * Arguments: port, file. GET answers with what the file holds.
 */
import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { readingsOf } from '../../wire/readings.ts';
import { parseSenmlJson } from '../../wire/senml.ts';

/** Long enough that a kill finds readings in memory, short enough that most are written. */
const writeLateMilliseconds = 400;

const [port, file] = process.argv.slice(2);
if (port === undefined || file === undefined) throw new Error('give a port and a file');

const inMemory: string[] = [];
setInterval(() => {
  const lines = inMemory.splice(0);
  if (lines.length > 0) appendFileSync(file, `${lines.join('\n')}\n`);
}, writeLateMilliseconds);

createServer(async (request, answer) => {
  if (request.method === 'GET') {
    answer.end(existsSync(file) ? readFileSync(file) : '');
    return;
  }
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  const now = Date.now() / 1000;
  const pack = parseSenmlJson(Buffer.concat(parts).toString('utf8'), now);
  const readings = pack.ok ? readingsOf(pack.value.records, { now }) : pack;
  if (!readings.ok) {
    answer.writeHead(400).end();
    return;
  }
  for (const { vessel, channel, time, value } of readings.value)
    inMemory.push(JSON.stringify({ vessel, channel, time, value }));
  answer.writeHead(200).end('{}');
}).listen(Number(port), '127.0.0.1', () => console.log('up'));
