/**
 * A bench trial in millilitres brought to production litres: the sheet to draw by.
 *
 * Every line is the trial's measure times one factor, chosen so that the blend, after contraction, fills
 * the litres wanted. Each line is rounded to what can be measured, and the blend is worked out again from
 * the rounded lines, so that the sheet shows what rounding does.
 * Drawing order (common practice, no source): still components before sparkling ones, the largest first,
 * so that the smaller meet a full vessel and mix, and the gas is disturbed last.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Blend, blend, type Component, type Composition } from './blend.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

export type TrialLine = Composition & {
  readonly name: string;
  readonly trialMillilitre: number;
  /** What the cellar has of it; null where that is no bound. */
  readonly availableLitre: number | null;
};

export type ScaleUpInput = {
  readonly lines: readonly TrialLine[];
  /** Volume of the finished blend at 20 °C. */
  readonly wantedLitre: number;
  /** The smallest amount that is measured out, such as 0.1 L. */
  readonly measureStepLitre: number;
  /** Whole volume of the vessel it goes into, and what must stay free above it. */
  readonly vesselVolumeLitre: number;
  readonly headspaceLitre: number;
};

export type DrawLine = {
  readonly order: number;
  readonly name: string;
  readonly trialMillilitre: number;
  /** Rounded to the measure. */
  readonly drawLitre: number;
  readonly drawKilogram: number;
  /** Added up down the sheet, before contraction. */
  readonly soFarLitre: number;
  readonly soFarKilogram: number;
};

export type DrawingSheet = {
  readonly factor: number;
  readonly lines: readonly DrawLine[];
  readonly trial: Blend;
  /** Worked out from the rounded lines. */
  readonly production: Blend;
};

const isSparkling = (line: TrialLine): boolean => (line.carbonDioxideGramPerLitre ?? 0) > 2;

const drawnFirst = (a: TrialLine, b: TrialLine): number =>
  Number(isSparkling(a)) - Number(isSparkling(b)) || b.trialMillilitre - a.trialMillilitre;

const asComponent = (line: TrialLine, litre: number): Component => ({
  ...line,
  amount: { kind: 'volume', litre, atCelsius: 20 },
});

const noSolution = (field: string, reason: string): Result<never, ScienceFault> =>
  fail({ kind: 'no-solution', field, reason });

/** The drawing sheet for a trial blend. */
export const scaleUp = (input: ScaleUpInput): Result<DrawingSheet, ScienceFault> => {
  const fault = firstOutside([
    ['wantedLitre', input.wantedLitre, 0.1, 1e6, 'L'],
    ['measureStepLitre', input.measureStepLitre, 1e-4, 100, 'L'],
    ['vesselVolumeLitre', input.vesselVolumeLitre, 0.1, 1e6, 'L'],
    ['headspaceLitre', input.headspaceLitre, 0, input.vesselVolumeLitre, 'L'],
    ...input.lines.map(
      ({ name, trialMillilitre }) =>
        [`${name}: trialMillilitre`, trialMillilitre, 0, 1e5, 'mL'] as const,
    ),
    ...input.lines.map(
      ({ name, availableLitre }) =>
        [`${name}: availableLitre`, availableLitre ?? 0, 0, 1e6, 'L'] as const,
    ),
  ]);
  if (fault) return fail(fault);
  const room = input.vesselVolumeLitre - input.headspaceLitre;
  if (input.wantedLitre > room) {
    return noSolution(
      'wantedLitre',
      `${input.wantedLitre} L do not go into the ${room.toFixed(1)} L below the headspace; make less or take a larger vessel`,
    );
  }
  const trial = blend(input.lines.map((line) => asComponent(line, line.trialMillilitre / 1000)));
  if (!trial.ok) return trial;
  const factor = input.wantedLitre / trial.value.volumeLitre;

  const ordered = input.lines.filter((line) => line.trialMillilitre > 0).toSorted(drawnFirst);
  const drawn = ordered.map((line) => {
    const exact = (factor * line.trialMillilitre) / 1000;
    const steps = Math.round(exact / input.measureStepLitre);
    // To the microlitre, so that 112 steps of 0.1 L read 11.2 L.
    return { line, litre: Math.round(steps * input.measureStepLitre * 1e6) / 1e6 };
  });
  const tooSmall = drawn.find(({ litre }) => litre === 0);
  if (tooSmall) {
    return noSolution(
      `${tooSmall.line.name}: measureStepLitre`,
      `the amount rounds to nothing at steps of ${input.measureStepLitre} L; measure it more finely`,
    );
  }
  const short = drawn.find(
    ({ line, litre }) => line.availableLitre !== null && litre > line.availableLitre,
  );
  if (short) {
    const most = (input.wantedLitre * (short.line.availableLitre ?? 0)) / (short.litre || 1);
    return noSolution(
      `${short.line.name}: availableLitre`,
      `${short.litre.toFixed(2)} L are needed and ${short.line.availableLitre} L are there; that is enough for ${most.toFixed(1)} L of blend`,
    );
  }
  const production = blend(drawn.map(({ line, litre }) => asComponent(line, litre)));
  if (!production.ok) return production;

  let soFarLitre = 0;
  let soFarKilogram = 0;
  const lines: DrawLine[] = [];
  for (const [index, { line, litre }] of drawn.entries()) {
    const own = blend([asComponent(line, litre)]);
    if (!own.ok) return own;
    soFarLitre += litre;
    soFarKilogram += own.value.massKilogram;
    lines.push({
      order: index + 1,
      name: line.name,
      trialMillilitre: line.trialMillilitre,
      drawLitre: litre,
      drawKilogram: own.value.massKilogram,
      soFarLitre,
      soFarKilogram,
    });
  }
  return ok({ factor, lines, trial: trial.value, production: production.value });
};
