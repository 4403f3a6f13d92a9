/** Every calculation there is, in the groups and the order of the index page. */
import { alcohol, alcoholByMass, alcoholByVolume } from './alcohol.ts';
import { alcoholWithAdditions } from './alcohol-after-additions.ts';
import { blendOfComponents } from './blend.ts';
import { sharesOfBlend } from './blend-shares.ts';
import type { Calculation } from './calculation.ts';
import { carbonationUnderPressure, pressureForCarbonation } from './carbonation.ts';
import { closedVessel } from './closed-vessel.ts';
import { hydrostatic, localAirPressure } from './column-and-air.ts';
import { conversions } from './conversions.ts';
import { gasEvolved } from './gas.ts';
import { densityMeter, gravityAndExtract, hydrometer } from './gravity.ts';
import { heat } from './heat.ts';
import { pressureRise } from './pressure-rise.ts';
import { refractometer, refractometerTemperature } from './refractometer.ts';
import { airOfRoom, suddenRelease } from './room-air.ts';
import { drawingSheet } from './scale-up.ts';
import { steep } from './steep.ts';
import { freeForTarget, molecular } from './sulphur-dioxide.ts';

export type CalculationGroup = {
  readonly title: string;
  readonly calculations: readonly Calculation[];
};

export const calculationGroups: readonly CalculationGroup[] = [
  {
    title: 'Pressure and carbon dioxide',
    calculations: [
      closedVessel,
      carbonationUnderPressure,
      pressureForCarbonation,
      pressureRise,
      gasEvolved,
      hydrostatic,
      localAirPressure,
    ],
  },
  { title: 'Blending', calculations: [blendOfComponents, sharesOfBlend, drawingSheet] },
  {
    title: 'Gravity and extract',
    calculations: [
      gravityAndExtract,
      hydrometer,
      densityMeter,
      refractometer,
      refractometerTemperature,
    ],
  },
  {
    title: 'Alcohol',
    calculations: [alcohol, alcoholWithAdditions, alcoholByMass, alcoholByVolume],
  },
  {
    title: 'Fermentation, steeping and the air',
    calculations: [heat, steep, airOfRoom, suddenRelease],
  },
  { title: 'Sulphur dioxide', calculations: [molecular, freeForTarget] },
  { title: 'Units', calculations: conversions },
];

export const calculations: readonly Calculation[] = calculationGroups.flatMap(
  (group) => group.calculations,
);

const byName: ReadonlyMap<string, Calculation> = new Map(
  calculations.map((one) => [one.name, one]),
);

export const calculationNamed = (name: string): Calculation | null => byName.get(name) ?? null;
