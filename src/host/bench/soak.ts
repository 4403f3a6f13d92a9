/** A steady load for minutes, and the memory of the runtime and of its host meanwhile. */
import { mean } from 'simple-statistics';
import { type BenchHost, makeCellar, residentMegabytes, shotsOf } from './bench-cellar.ts';
import { type Flood, flood, joined, milliseconds } from './flood.ts';

const vessels = 100;
const readingsAPack = 60;
/** One connection at full speed: a hundred times a busy cellar, and the machine stays usable. */
const connections = 1;
const sampleSeconds = 15;

export const soak = async (host: BenchHost, minutes: number): Promise<readonly string[]> => {
  const next = shotsOf(await makeCellar(host, vessels), readingsAPack);
  const samples: { readonly minute: number; readonly runtime: number; readonly own: number }[] = [];
  const floods: Flood[] = [];
  const rounds = Math.max(6, Math.round((minutes * 60) / sampleSeconds));
  for (let round = 1; round <= rounds; round += 1) {
    floods.push(await flood(host.url, connections, sampleSeconds * 1000, next));
    samples.push({
      minute: (round * sampleSeconds) / 60,
      runtime: residentMegabytes(host.runtime) ?? Number.NaN,
      own: process.memoryUsage.rss() / 1024 / 1024,
    });
  }
  const all = joined(floods);
  const third = Math.floor(samples.length / 3);
  const middle = mean(samples.slice(third, 2 * third).map(({ runtime }) => runtime));
  const last = mean(samples.slice(2 * third).map(({ runtime }) => runtime));
  const shown = samples.filter((_, index) => index % 4 === 3 || index === samples.length - 1);
  return [
    `Soak: ${minutes} minutes, ${vessels} vessels, packs of ${readingsAPack} on ${connections} connection: ${all.requests} packs, ${((all.requests * readingsAPack) / all.seconds).toFixed(0)} readings/s, p50 ${milliseconds(all, 0.5)}, p99 ${milliseconds(all, 0.99)}, ${all.resets} connections found closed`,
    '    minute   runtime MB   host and load MB',
    ...shown.map(
      ({ minute, runtime, own }) =>
        `  ${minute.toFixed(1).padStart(8)}${runtime.toFixed(0).padStart(13)}${own.toFixed(0).padStart(19)}`,
    ),
    `  the last third of the time took ${last.toFixed(0)} MB on average, the third before it ${middle.toFixed(0)} MB: ${last <= 1.1 * middle ? 'it levels off' : 'it still grows'}`,
  ];
};
