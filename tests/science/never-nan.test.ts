/**
 * Whatever goes in, a calculation answers finite numbers or a fault that can be said in words: no NaN, no
 * Infinity, no exception. Each function gets numbers from everywhere, and from near its own range.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../src/result.ts';
import {
  alcoholByVolumeFromMass,
  alcoholByVolumeOfDrink,
  alcoholMassFromVolume,
} from '../../src/science/alcohol.ts';
import { alcoholAfterAdditions } from '../../src/science/alcohol-after-additions.ts';
import { attenuated } from '../../src/science/balling.ts';
import { blend } from '../../src/science/blend.ts';
import { blendShares } from '../../src/science/blend-shares.ts';
import { brixFromGravity, gravityFromBrix } from '../../src/science/brix.ts';
import { carbonationAtPressure, equilibriumGaugePressure } from '../../src/science/carbonation.ts';
import { drinkDensity, drinkGravity } from '../../src/science/drink-density.ts';
import { ethanolDensity } from '../../src/science/ethanol-density.ts';
import { describeFault, type ScienceFault } from '../../src/science/fault.ts';
import {
  fermentationState,
  terminalGravityFromLimit,
} from '../../src/science/fermentation-state.ts';
import {
  carbonDioxideGramPerHour,
  carbonDioxideMade,
  carbonDioxideReleased,
} from '../../src/science/gas-evolved.ts';
import { carbonDioxideGasDensity } from '../../src/science/gas-law.ts';
import { extractFromGravity, gravityFromExtract } from '../../src/science/gravity.ts';
import {
  closedVesselAtPressure,
  closedVesselAtRest,
  liquidFullAtCelsius,
} from '../../src/science/headspace.ts';
import { heatWatt, riseWithoutCooling, timeToLimitWithoutCooling } from '../../src/science/heat.ts';
import { gravityFromDensity, gravityFromHydrometer } from '../../src/science/hydrometer.ts';
import { hydrostaticPressurePascal } from '../../src/science/hydrostatic.ts';
import { refermentation } from '../../src/science/refermentation.ts';
import {
  brixAt20,
  extractFromRefractometer,
  refractiveIndex,
} from '../../src/science/refractometer.ts';
import { afterSuddenRelease, airChangesToStayBelow, roomAir } from '../../src/science/room-air.ts';
import { scaleUp } from '../../src/science/scale-up.ts';
import { dissolvedCarbonDioxide } from '../../src/science/solubility.ts';
import { steepClock } from '../../src/science/steep-clock.ts';
import { sucroseDensity, sucroseDensityInAir } from '../../src/science/sucrose-density.ts';
import {
  freeForMolecular,
  greatestMolecularFraction,
  molecularFraction,
  molecularSulphurDioxide,
} from '../../src/science/sulphur-dioxide.ts';
import { convert, convertGravity } from '../../src/science/units/convert.ts';
import {
  absoluteFromGauge,
  ambientPressureAtHeight,
  gaugeFromAbsolute,
} from '../../src/science/units/gauge.ts';
import { waterVapourPressurePascal } from '../../src/science/water-vapour.ts';
import { unmeasured } from './components.ts';

type Numbers = readonly [number, number, number, number, number, number];
type Answer = Result<unknown, ScienceFault>;

/** Every calculation as a function of six numbers, with numbers it accepts. */
const calculations: Readonly<
  Record<string, readonly [accepted: Numbers, (...numbers: Numbers) => Answer]>
> = {
  alcoholByVolumeFromMass: [[4, 0, 0, 0, 0, 0], (a) => alcoholByVolumeFromMass(a)],
  alcoholMassFromVolume: [[5, 0, 0, 0, 0, 0], (a) => alcoholMassFromVolume(a)],
  alcoholByVolumeOfDrink: [[4, 1008, 0, 0, 0, 0], (a, b) => alcoholByVolumeOfDrink(a, b)],
  alcoholAfterAdditions: [
    [20, 1.05, 500, 1.01, 40, 1],
    (wortVolumeLitre, originalGravity, gram, presentGravity, strength, litre) =>
      alcoholAfterAdditions({
        wortVolumeLitre,
        originalGravity,
        presentGravity,
        additions: [
          { kind: 'sugar', gram },
          { kind: 'spirit', litre, alcoholByVolumePercent: strength },
          { kind: 'wort', litre, extractPlato: strength },
          { kind: 'water', litre },
        ],
      }),
  ],
  attenuated: [
    [12, 2.5, 0, 0, 0, 0],
    (a, b) => attenuated({ originalExtractPlato: a, apparentExtractPlato: b }),
  ],
  blend: [
    [12, 90, 20, 1.02, 10, 15],
    (alcohol, extract, fermentable, gravity, litre, atCelsius) =>
      blend([
        {
          ...unmeasured,
          name: 'one',
          alcoholByVolumePercent: alcohol,
          extractGramPerLitre: extract,
          fermentableGramPerLitre: fermentable,
          gravity,
          amount: { kind: 'volume', litre, atCelsius },
        },
        {
          ...unmeasured,
          name: 'other',
          alcoholByVolumePercent: alcohol,
          extractGramPerLitre: extract,
          amount: { kind: 'mass', kilogram: litre },
        },
      ]),
  ],
  blendShares: [
    [12, 40, 5, 20, 0.1, 0.8],
    (alcohol, extract, low, high, least, greatest) =>
      blendShares({
        candidates: [
          {
            ...unmeasured,
            name: 'one',
            alcoholByVolumePercent: alcohol,
            extractGramPerLitre: extract,
            leastShare: least,
            greatestShare: greatest,
            costPerLitre: 1,
          },
          {
            ...unmeasured,
            name: 'water',
            alcoholByVolumePercent: 0,
            extractGramPerLitre: 0,
            leastShare: 0,
            greatestShare: 1,
            costPerLitre: 0,
          },
        ],
        targets: [{ property: 'extractGramPerLitre', low, high }],
        prefer: 'cheapest',
      }),
  ],
  brixFromGravity: [[1.04, 0, 0, 0, 0, 0], (a) => brixFromGravity(a)],
  gravityFromBrix: [[10, 0, 0, 0, 0, 0], (a) => gravityFromBrix(a)],
  carbonationAtPressure: [
    [5, 40, 1e5, 4, 101_325, 0],
    (alcohol, extract, gaugePressurePascal, temperatureCelsius, ambientPressurePascal) =>
      carbonationAtPressure({
        drink: { alcoholByVolumePercent: alcohol, extractGramPerLitre: extract },
        gaugePressurePascal,
        temperatureCelsius,
        ambientPressurePascal,
      }),
  ],
  equilibriumGaugePressure: [
    [5, 40, 5, 4, 101_325, 0],
    (alcohol, extract, carbonDioxideGramPerLitre, temperatureCelsius, ambientPressurePascal) =>
      equilibriumGaugePressure({
        drink: { alcoholByVolumePercent: alcohol, extractGramPerLitre: extract },
        carbonDioxideGramPerLitre,
        temperatureCelsius,
        ambientPressurePascal,
      }),
  ],
  drinkDensity: [
    [5, 40, 0, 0, 0, 0],
    (a, b) => drinkDensity({ alcoholByVolumePercent: a, extractGramPerLitre: b }),
  ],
  drinkGravity: [
    [5, 40, 0, 0, 0, 0],
    (a, b) => drinkGravity({ alcoholByVolumePercent: a, extractGramPerLitre: b }),
  ],
  ethanolDensity: [[40, 20, 0, 0, 0, 0], (a, b) => ethanolDensity(a, b)],
  fermentationState: [[1.05, 1.01, 0, 0, 0, 0], (a, b) => fermentationState(a, b)],
  terminalGravityFromLimit: [[1.05, 0.8, 0, 0, 0, 0], (a, b) => terminalGravityFromLimit(a, b)],
  carbonDioxideMade: [
    [12, 10, 5, 100, 0, 0],
    (a, b, c, d) =>
      carbonDioxideMade({
        originalExtractPlato: a,
        fromExtractPlato: b,
        toExtractPlato: c,
        wortVolumeLitre: d,
      }),
  ],
  carbonDioxideGramPerHour: [
    [12, 8, 0.1, 100, 0, 0],
    (a, b, c, d) =>
      carbonDioxideGramPerHour({
        originalExtractPlato: a,
        apparentExtractPlato: b,
        extractFallPlatoPerHour: c,
        wortVolumeLitre: d,
      }),
  ],
  carbonDioxideReleased: [
    [12, 8, 100, 5, 1e4, 18],
    (a, b, c, d, gaugePressurePascal, temperatureCelsius) =>
      carbonDioxideReleased({
        originalExtractPlato: a,
        apparentExtractPlato: b,
        wortVolumeLitre: c,
        drink: { alcoholByVolumePercent: d, extractGramPerLitre: 40 },
        gaugePressurePascal,
        temperatureCelsius,
        ambientPressurePascal: 101_325,
      }),
  ],
  carbonDioxideGasDensity: [[3e5, 20, 0, 0, 0, 0], (a, b) => carbonDioxideGasDensity(a, b)],
  extractFromGravity: [[1.04, 0, 0, 0, 0, 0], (a) => extractFromGravity(a)],
  gravityFromExtract: [[10, 0, 0, 0, 0, 0], (a) => gravityFromExtract(a)],
  closedVesselAtRest: [
    [30, 2, 4, 130, 20, 5],
    (volume, headspaceLitre, filledAtCelsius, gram, celsius, alcohol) =>
      closedVesselAtRest(vessel(volume, headspaceLitre, filledAtCelsius, alcohol), gram, celsius),
  ],
  closedVesselAtPressure: [
    [30, 2, 4, 1e5, 20, 5],
    (volume, headspaceLitre, filledAtCelsius, pascal, celsius, alcohol) =>
      closedVesselAtPressure(
        vessel(volume, headspaceLitre, filledAtCelsius, alcohol),
        pascal,
        celsius,
      ),
  ],
  liquidFullAtCelsius: [
    [30, 0.4, 2, 5, 0, 0],
    (volume, headspaceLitre, filledAtCelsius, alcohol) =>
      liquidFullAtCelsius(vessel(volume, headspaceLitre, filledAtCelsius, alcohol)),
  ],
  riseWithoutCooling: [
    [12, 8, 3, 0, 0, 0],
    (a, b, c) =>
      riseWithoutCooling({
        originalExtractPlato: a,
        presentExtractPlato: b,
        terminalExtractPlato: c,
      }),
  ],
  heatWatt: [
    [12, 8, 0.1, 100, 0, 0],
    (a, b, c, d) =>
      heatWatt({
        originalExtractPlato: a,
        presentExtractPlato: b,
        extractFallPlatoPerHour: c,
        volumeLitre: d,
      }),
  ],
  timeToLimitWithoutCooling: [
    [12, 8, 3, 0.1, 18, 22],
    (a, b, c, d, e, f) =>
      timeToLimitWithoutCooling({
        originalExtractPlato: a,
        presentExtractPlato: b,
        terminalExtractPlato: c,
        extractFallPlatoPerHour: d,
        temperatureCelsius: e,
        limitCelsius: f,
      }),
  ],
  gravityFromHydrometer: [
    [1.04, 15, 20, 2, 0, 0],
    (a, b, c, d) =>
      gravityFromHydrometer({
        readingGravity: a,
        sampleTemperatureCelsius: b,
        calibrationTemperatureCelsius: c,
        alcoholByVolumePercent: d,
      }),
  ],
  gravityFromDensity: [[1040, 15, 2, 0, 0, 0], (a, b, c) => gravityFromDensity(a, b, c)],
  hydrostaticPressurePascal: [[2, 1010, 0, 0, 0, 0], (a, b) => hydrostaticPressurePascal(a, b)],
  refermentation: [
    [30, 2, 4, 3e5, 5, 22],
    (volume, headspaceLitre, filledAtCelsius, rated, fermentable, warmest) =>
      refermentation({
        vessel: vessel(volume, headspaceLitre, filledAtCelsius, 5),
        ratedGaugePressurePascal: rated,
        carbonDioxideGramPerLitre: 4,
        fermentableGramPerLitre: fermentable,
        warmestCelsius: warmest,
        yeast: 'present',
      }),
  ],
  brixAt20: [[12, 15, 0, 0, 0, 0], (a, b) => brixAt20(a, b)],
  extractFromRefractometer: [
    [7, 12, 1.02, 0, 0, 0],
    (a, b, c) =>
      extractFromRefractometer({ readingBrix: a, originalExtractPlato: b, wortFactor: c }),
  ],
  refractiveIndex: [[10, 4, 0, 0, 0, 0], (a, b) => refractiveIndex(a, b)],
  roomAir: [
    [100, 30, 1, 500, 2, 0],
    (a, b, c, d, e) =>
      roomAir(
        { gasLitrePerHour: a, roomVolumeCubicMetre: b, airChangesPerHour: c, startPpm: d },
        e,
      ),
  ],
  afterSuddenRelease: [[100, 30, 0, 0, 0, 0], (a, b) => afterSuddenRelease(a, b)],
  airChangesToStayBelow: [[100, 30, 5000, 0, 0, 0], (a, b, c) => airChangesToStayBelow(a, b, c)],
  scaleUp: [
    [60, 30, 40, 0.1, 60, 5],
    (one, other, wantedLitre, measureStepLitre, vesselVolumeLitre, headspaceLitre) =>
      scaleUp({
        lines: [
          {
            ...unmeasured,
            name: 'one',
            alcoholByVolumePercent: 5,
            extractGramPerLitre: 40,
            trialMillilitre: one,
            availableLitre: null,
          },
          {
            ...unmeasured,
            name: 'other',
            alcoholByVolumePercent: 12,
            extractGramPerLitre: 20,
            trialMillilitre: other,
            availableLitre: null,
          },
        ],
        wantedLitre,
        measureStepLitre,
        vesselVolumeLitre,
        headspaceLitre,
      }),
  ],
  dissolvedCarbonDioxide: [
    [5, 40, 2e5, 10, 0, 0],
    (a, b, c, d) =>
      dissolvedCarbonDioxide({
        drink: { alcoholByVolumePercent: a, extractGramPerLitre: b },
        partialPressurePascal: c,
        temperatureCelsius: d,
      }),
  ],
  steepClock: [
    [0, 7200, 0, 4, 3600, 6],
    (startedAtSeconds, nowSeconds, firstAt, celsius, nextAt, next) =>
      steepClock({
        startedAtSeconds,
        nowSeconds,
        readings: [
          { timeSeconds: firstAt, temperatureCelsius: celsius },
          { timeSeconds: nextAt, temperatureCelsius: next },
        ],
        pH: 4.4,
      }),
  ],
  sucroseDensity: [[12, 20, 0, 0, 0, 0], (a, b) => sucroseDensity(a, b)],
  sucroseDensityInAir: [[12, 20, 0, 0, 0, 0], (a, b) => sucroseDensityInAir(a, b)],
  freeForMolecular: [[0.8, 3.5, 0, 0, 0, 0], (a, b) => freeForMolecular(a, b)],
  greatestMolecularFraction: [
    [3.5, 12, 22, 0, 0, 0],
    (a, b, c) => greatestMolecularFraction(a, b, c),
  ],
  molecularFraction: [[3.5, 0, 0, 0, 0, 0], (a) => molecularFraction(a)],
  molecularSulphurDioxide: [[30, 3.5, 0, 0, 0, 0], (a, b) => molecularSulphurDioxide(a, b)],
  convert: [[20, 0, 0, 0, 0, 0], (a) => convert('pressure', a, 'psi', 'bar')],
  convertGravity: [[12, 0, 0, 0, 0, 0], (a) => convertGravity(a, '°P', '°Bx')],
  absoluteFromGauge: [[1e5, 101_325, 0, 0, 0, 0], (a, b) => absoluteFromGauge(a, b)],
  gaugeFromAbsolute: [[2e5, 101_325, 0, 0, 0, 0], (a, b) => gaugeFromAbsolute(a, b)],
  ambientPressureAtHeight: [[500, 0, 0, 0, 0, 0], (a) => ambientPressureAtHeight(a)],
  waterVapourPressurePascal: [[20, 0, 0, 0, 0, 0], (a) => waterVapourPressurePascal(a)],
};

const vessel = (
  vesselVolumeLitre: number,
  headspaceLitre: number,
  filledAtCelsius: number,
  alcohol: number,
) => ({
  drink: { alcoholByVolumePercent: alcohol, extractGramPerLitre: 40 },
  vesselVolumeLitre,
  headspaceLitre,
  filledAtCelsius,
  ambientPressurePascal: 101_325,
});

const isFiniteThroughout = (value: unknown): boolean => {
  if (typeof value === 'number') return Number.isFinite(value);
  if (Array.isArray(value)) return value.every(isFiniteThroughout);
  if (typeof value === 'object' && value !== null) {
    return Object.values(value).every(isFiniteThroughout);
  }
  return true;
};

/** A number from anywhere, or the accepted one nudged, scaled or as it is. */
const near = (accepted: number): fc.Arbitrary<number> =>
  fc.oneof(
    fc.double(),
    fc.constantFrom(0, -0, -1, 1e-300, 1e300, Number.NaN, Number.POSITIVE_INFINITY),
    fc.double({ min: 0, max: 3, noNaN: true }).map((scale) => accepted * scale),
    { arbitrary: fc.constant(accepted), weight: 6 },
  );

/** Exported functions that are no calculation of their own, with the reason. */
const elsewhere: Readonly<Record<string, string>> = {
  alcoholAt: 'kernel of attenuated',
  originalExtractFrom: 'kernel of blend',
  gravityFromDensityAt20: 'kernel of hydrometer and drink density',
  densityAt20FromGravity: 'kernel of hydrometer and drink density',
  volumesFromGramPerLitre: 'a plain factor',
  gramPerLitreFromVolumes: 'a plain factor',
  totalCarbonDioxideGram: 'a plain sum',
  carbonDioxideGramToReach: 'two of closedVesselAtPressure',
  pressureRisePerHour:
    'takes a state that only closedVesselAtRest gives; tested in headspace.test.ts',
  beginSteep: 'kernel of steepClock',
  extendSteep: 'kernel of steepClock',
  steepStands: 'kernel of steepClock',
  strengthOf: 'kernel of blend',
  volumeOf: 'kernel of blend',
  liquidBounds: 'bounds',
  drinkBounds: 'bounds',
  spiritDensityAt20: 'kernel of alcoholMassFromVolume',
  syrupDensityAt20: 'kernel of drinkDensity',
  drinkDensityAt20: 'kernel of drinkDensity',
  firstOutside: 'the check itself',
  faultInTargets: 'the check of blendShares',
  refermentationWords: 'words',
  refermentationRemedies: 'words',
  describeFault: 'words',
  isUnitOf: 'a question',
  isGravityUnit: 'a question',
  isChannel: 'a question',
  unitsOf: 'a list',
};

describe('whatever goes in', () => {
  test('no exported calculation is left out', async () => {
    const modules = {
      ...import.meta.glob('../../src/science/*.ts'),
      ...import.meta.glob('../../src/science/units/*.ts'),
    };
    const paths = Object.keys(modules).filter((path) => !path.includes('attenuation'));
    expect(paths.length).toBeGreaterThan(30);
    const left: string[] = [];
    for (const path of paths) {
      const exported = (await modules[path]?.()) as Readonly<Record<string, unknown>>;
      for (const [name, what] of Object.entries(exported)) {
        const isKernel = /At$/.test(name) || Object.hasOwn(elsewhere, name);
        if (typeof what === 'function' && !isKernel && !Object.hasOwn(calculations, name)) {
          left.push(name);
        }
      }
    }
    expect(left).toEqual([]);
  });

  for (const [name, [accepted, calculate]] of Object.entries(calculations)) {
    test(`${name} answers finite numbers or a fault`, () => {
      expect(calculate(...accepted), 'the accepted numbers').toMatchObject({ ok: true });
      const [a, b, c, d, e, f] = accepted;
      fc.assert(
        fc.property(near(a), near(b), near(c), near(d), near(e), near(f), (...numbers) => {
          const answer = calculate(...numbers);
          if (answer.ok) {
            expect(isFiniteThroughout(answer.value)).toBe(true);
          } else {
            expect(isFiniteThroughout({ ...answer.fault, value: 0, againstValue: 0 })).toBe(true);
            expect(describeFault(answer.fault)).not.toMatch(/undefined|\[object/);
          }
        }),
        { numRuns: 150 },
      );
    });
  }
});
