/**
 * Readings as paths of an SVG that is stretched to its frame: in a box of 1000 by 1000, time to the right, value up.
 * Many readings become an envelope, lowest to highest in each step, with the median through it; few stay dots on a
 * line. Where nothing was read for long, the line breaks. Pure: no I/O, no clock.
 */

/** Unix seconds and the value shown. */
export type TracePoint = readonly [number, number];

export type Range = readonly [number, number];

/** Sides of the box that paths are drawn in. */
export const box = 1000;

/** Steps of an envelope: about one for two pixels of a wide sheet. More are not seen. */
const mostSteps = 420;

/** Readings further apart than this in the box are dots: about 5 pixels on a wide sheet. Chosen by us. */
const leastStep = 5;

/** An empty stretch of this many usual steps is a gap, as on the page's own chart. */
const gapFactor = 4;

const round = (value: number): number => Math.round(value * 10) / 10;

export const placeX = (time: number, span: Range): number =>
  round((box * (time - span[0])) / Math.max(1, span[1] - span[0]));

const placeY = (value: number, range: Range): number =>
  round(box * (1 - (value - range[0]) / (range[1] - range[0])));

export type Trace = {
  /** Closed shapes; empty where the readings are few. */
  readonly envelope: string;
  readonly line: string;
  /** A dot for each reading; empty where there are many. */
  readonly dots: string;
};

type Step = {
  readonly at: number;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
};

const middleOf = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  const upper = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? upper) + upper) / 2;
};

const stepsOf = (points: readonly TracePoint[], span: Range): readonly Step[] => {
  const width = Math.max(1, (span[1] - span[0]) / mostSteps);
  const held = new Map<number, TracePoint[]>();
  for (const point of points) {
    const step = Math.floor((point[0] - span[0]) / width);
    const own = held.get(step);
    if (own === undefined) held.set(step, [point]);
    else own.push(point);
  }
  return [...held.values()].map((own) => {
    const values = own.map(([, value]) => value);
    return {
      at: middleOf(own.map(([time]) => time)),
      low: Math.min(...values),
      middle: middleOf(values),
      high: Math.max(...values),
    };
  });
};

const usualStep = (times: readonly number[]): number =>
  middleOf(times.slice(1).map((time, index) => time - (times[index] ?? time)));

/** Parts a row of steps where it has a gap. */
const unbroken = (steps: readonly Step[]): readonly (readonly Step[])[] => {
  const gaps = steps.slice(1).map((step, index) => step.at - (steps[index]?.at ?? step.at));
  const usual = usualStep(steps.map(({ at }) => at));
  const runs: Step[][] = [];
  for (const [index, step] of steps.entries()) {
    const gap = gaps[index - 1] ?? 0;
    const run = runs.at(-1);
    if (run === undefined || gap > usual * gapFactor) runs.push([step]);
    else run.push(step);
  }
  return runs;
};

export const pathOf = (points: readonly TracePoint[], span: Range, range: Range): string =>
  points
    .map(
      ([time, value], index) =>
        `${index === 0 ? 'M' : 'L'}${placeX(time, span)} ${placeY(value, range)}`,
    )
    .join('');

/** The closed shape between two lines over the same times. */
export const bandOf = (
  low: readonly TracePoint[],
  high: readonly TracePoint[],
  span: Range,
  range: Range,
): string =>
  low.length === 0
    ? ''
    : `${pathOf(high, span, range)}${pathOf(low.toReversed(), span, range).replace('M', 'L')}Z`;

export const traceOf = (points: readonly TracePoint[], span: Range, range: Range): Trace => {
  const ordered = points.toSorted((one, other) => one[0] - other[0]);
  const steps = stepsOf(ordered, span);
  const runs = unbroken(steps);
  const line = runs
    .map((run) =>
      pathOf(
        run.map(({ at, middle }) => [at, middle] as const),
        span,
        range,
      ),
    )
    .join('');
  const isSparse =
    usualStep(ordered.map(([time]) => time)) >= (leastStep * (span[1] - span[0])) / box;
  return {
    line,
    envelope: isSparse
      ? ''
      : runs
          .map((run) =>
            bandOf(
              run.map(({ at, low }) => [at, low] as const),
              run.map(({ at, high }) => [at, high] as const),
              span,
              range,
            ),
          )
          .join(''),
    // A line of no length with round ends is a dot that a stretched frame does not flatten.
    dots: isSparse
      ? ordered.map(([time, value]) => `M${placeX(time, span)} ${placeY(value, range)}h0`).join('')
      : '',
  };
};
