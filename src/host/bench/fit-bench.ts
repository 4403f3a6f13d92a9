/** Times the fit inside workerd, beside a general least-squares library on the same readings. */
import { join } from 'node:path';
import { build } from 'esbuild';
import { Miniflare } from 'miniflare';
import * as z from 'zod';

const timed = z.object({ medianMilliseconds: z.number(), residualSumOfSquares: z.number() });
const answer = z.object({
  count: z.number(),
  own: timed,
  ownRobust: timed,
  library: timed,
  enoughIterations: z.number().nullable(),
  libraryJustEnough: timed,
  wholeForecast: z.number(),
});

export const fitBench = async (): Promise<string> => {
  const bundle = await build({
    entryPoints: [join(import.meta.dirname, 'fit-worker.ts')],
    bundle: true,
    format: 'esm',
    target: 'es2024',
    write: false,
    logLevel: 'error',
  });
  const miniflare = new Miniflare({
    modules: [
      { type: 'ESModule', path: 'fit-worker.js', contents: bundle.outputFiles[0]?.text ?? '' },
    ],
    compatibilityDate: '2026-07-01',
    cf: false,
    telemetry: { enabled: false },
  });
  try {
    const response = await miniflare.dispatchFetch('http://bench/');
    const { count, own, ownRobust, library, enoughIterations, libraryJustEnough, wholeForecast } =
      answer.parse(await response.json());
    const line = (label: string, { medianMilliseconds }: z.infer<typeof timed>): string =>
      `  ${label.padEnd(52)}${medianMilliseconds.toFixed(2).padStart(7)} ms  ${(
        medianMilliseconds / own.medianMilliseconds
      )
        .toFixed(1)
        .padStart(6)} times the first`;
    const squares = (value: number): string => value.toExponential(6);
    return [
      `Fit of a four-parameter logistic to ${count} readings inside workerd, median of 15 timings`,
      line('own fitter, with covariance', own),
      line('own fitter, covariance and robust loss, with foam', ownRobust),
      line('ml-levenberg-marquardt, its default 100 iterations', library),
      line(
        `ml-levenberg-marquardt, ${enoughIterations ?? 'more than 100'} iterations (just enough)`,
        libraryJustEnough,
      ),
      line('whole forecast: three models, averaged, with foam', {
        medianMilliseconds: wholeForecast,
        residualSumOfSquares: 0,
      }),
      `  residual sums of squares: own ${squares(own.residualSumOfSquares)}, library ${squares(library.residualSumOfSquares)}; the library gives no covariance`,
    ].join('\n');
  } finally {
    await miniflare.dispose();
  }
};
