/**
 * Runs inside workerd: fits the same readings with the house's fitter and with a general library, and
 * answers with what each took and reached. A fortnight of readings every quarter of an hour.
 */
import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { median } from 'simple-statistics';
import { fitAttenuation } from '../../science/attenuation-curve.ts';
import { fitLeastSquares } from '../../science/fit/least-squares.ts';
import { bisquare } from '../../science/fit/loss.ts';
import { seededNoise } from '../scenario/seeded-noise.ts';

const count = 1344;
const stepHours = 0.25;
const truth = { terminal: 1.011, fall: 0.041, rate: 0.11, midpoint: 46 } as const;
const start = [1.01, 0.045, 0.08, 60] as const;

/** Noise of half a point, and one reading in fifty lifted by foam. */
const series = (withFoam: boolean) => {
  const noise = seededNoise(7, 'bench');
  const hours = Array.from({ length: count }, (_, index) => index * stepHours);
  const gravities = hours.map((hour) => {
    const share = 1 / (1 + Math.exp(truth.rate * (hour - truth.midpoint)));
    const foam = withFoam && noise.uniform() < 0.02 ? 0.01 : 0;
    return truth.terminal + truth.fall * share + 0.0005 * noise.normal() + foam;
  });
  return { hours, gravities };
};

/** Terminal gravity, fall, rate per hour, midpoint in hours: the four-parameter logistic. */
const evaluateOver =
  (hours: readonly number[]) =>
  (parameters: Float64Array, values: Float64Array, jacobian: Float64Array): void => {
    const [terminal = 0, fall = 0, rate = 0, midpoint = 0] = parameters;
    for (let i = 0; i < count; i += 1) {
      const after = (hours[i] ?? 0) - midpoint;
      const share = 1 / (1 + Math.exp(rate * after));
      const slope = -fall * share * (1 - share);
      values[i] = terminal + fall * share;
      jacobian[i] = 1;
      jacobian[count + i] = share;
      jacobian[2 * count + i] = slope * after;
      jacobian[3 * count + i] = -slope * rate;
    }
  };

type Timed = { readonly medianMilliseconds: number; readonly residualSumOfSquares: number };

/**
 * Local workerd lets the clock run during computation, by whole milliseconds; the edge does not, so
 * this runs here only. Each timing is of several runs at once; the median of the timings counts.
 */
const timings = 15;

const timed = (runs: number, run: () => number): Timed => {
  let residualSumOfSquares = run();
  const took = Array.from({ length: timings }, () => {
    const since = performance.now();
    for (let i = 0; i < runs; i += 1) residualSumOfSquares = run();
    return (performance.now() - since) / runs;
  });
  return { medianMilliseconds: median(took), residualSumOfSquares };
};

const own = (hours: readonly number[], gravities: readonly number[], robust: boolean): number => {
  const fit = fitLeastSquares({
    observations: Float64Array.from(gravities),
    evaluate: evaluateOver(hours),
    start,
    ...(robust ? { loss: bisquare } : {}),
  });
  if (!fit.ok || fit.value.covariance === null) throw new Error('the fit failed');
  return fit.value.residualSumOfSquares;
};

const library = (hours: number[], gravities: number[], maxIterations: number): number => {
  const fit = levenbergMarquardt(
    { x: hours, y: gravities },
    ([terminal = 0, fall = 0, rate = 0, midpoint = 0]) =>
      (hour) =>
        terminal + fall / (1 + Math.exp(rate * (hour - midpoint))),
    {
      initialValues: [...start],
      gradientDifference: [1e-6, 1e-6, 1e-6, 1e-4],
      centralDifference: true,
      damping: 1e-3,
      maxIterations,
      errorTolerance: 0,
    },
  );
  const [terminal = 0, fall = 0, rate = 0, midpoint = 0] = fit.parameterValues;
  return hours.reduce((sum, hour, index) => {
    const value = terminal + fall / (1 + Math.exp(rate * (hour - midpoint)));
    return sum + ((gravities[index] ?? 0) - value) ** 2;
  }, 0);
};

// biome-ignore lint/style/noDefaultExport: the platform takes a worker's handler as the default export
export default {
  fetch: (): Response => {
    const clean = series(false);
    const foamy = series(true);
    const timesSeconds = foamy.hours.map((hour) => 1_900_000_000 + hour * 3600);
    const best = own(clean.hours, clean.gravities, false);
    // It stops by an absolute sum of squares only, so it is also given just enough iterations.
    const enough = Array.from({ length: 100 }, (_, index) => index + 1).find(
      (iterations) => library(clean.hours, clean.gravities, iterations) <= best * (1 + 1e-9),
    );
    return Response.json({
      count,
      own: timed(20, () => own(clean.hours, clean.gravities, false)),
      ownRobust: timed(20, () => own(foamy.hours, foamy.gravities, true)),
      library: timed(3, () => library(clean.hours, clean.gravities, 100)),
      enoughIterations: enough ?? null,
      libraryJustEnough: timed(10, () => library(clean.hours, clean.gravities, enough ?? 100)),
      wholeForecast: timed(20, () => {
        const fit = fitAttenuation({ timesSeconds, gravities: foamy.gravities });
        if (!fit.ok) throw new Error(fit.fault.kind);
        return 0;
      }).medianMilliseconds,
    });
  },
};
