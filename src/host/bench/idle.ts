/** What a host with vessels and no traffic takes of the processor over a minute: nothing may go round and round. */
import { setTimeout as wait } from 'node:timers/promises';
import { type BenchHost, processorSeconds } from './bench-cellar.ts';

/** What is still to be relayed and delivered is given a moment first. */
const calmMilliseconds = 15_000;
const minuteMilliseconds = 60_000;

export const idle = async ({ runtime }: BenchHost): Promise<readonly string[]> => {
  if (runtime === null) return ['Idle: measured on Linux only'];
  await wait(calmMilliseconds);
  const before = processorSeconds(runtime) ?? 0;
  await wait(minuteMilliseconds);
  const used = (processorSeconds(runtime) ?? 0) - before;
  return [
    `Idle, all vessels of the bench and no traffic: the runtime took ${used.toFixed(2)} s of processor in a minute, ${((100 * used * 1000) / minuteMilliseconds).toFixed(2)} %`,
  ];
};
