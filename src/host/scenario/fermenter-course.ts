/**
 * A fermenter with a cooling jacket: gravity and temperature. Apparent extract falls in proportion to the
 * sugar fermented (C. J. N. Balling, 1865: real extract is linear in apparent extract). The wort warms by
 * 586 kJ/kg of extract fermented over 4.05 kJ/(kg K), both of D. E. Briggs et al., Brewing: Science and
 * Practice (2004), from memory. Stateful between steps, else pure.
 */
import { extractAt, gravityAt } from '../../science/gravity.ts';
import { type Cooled, cool } from './cooled.ts';
import { type Course, stepHours } from './course.ts';
import {
  type Fermenting,
  ferment,
  fermentedShare,
  pitched,
  sugarGramPerLitre,
} from './fermenting.ts';

const heatCelsiusPerGramPerLitre = 586 / 4.05 / 1000;

export type FermenterSettings = {
  readonly originalGravity: number;
  /** Where the gravity ends when all that can be fermented is fermented. */
  readonly limitGravity: number;
  readonly setPointCelsius: number;
  /** Hours after which the yeast drops out early; null where it does not. */
  readonly yeastDropsAfterHours: number | null;
};

export const fermenterCourse = (
  settings: FermenterSettings,
  /** Told what share of the sugar was fermented in each step. */
  onFermented: (share: number) => void,
): Course => {
  const original = extractAt(settings.originalGravity);
  const limit = extractAt(settings.limitGravity);
  const cooler = {
    setPointCelsius: settings.setPointCelsius,
    swingCelsius: 0.3,
    coolingCelsiusPerHour: 1.2,
    hoursToRoom: 60,
  };
  let yeast: Fermenting = pitched;
  let wort: Cooled = { temperatureCelsius: settings.setPointCelsius - 0.4, cooling: false };
  const drops = settings.yeastDropsAfterHours;
  return ({ hours, roomCelsius }) => {
    const before = fermentedShare(yeast);
    yeast = ferment(yeast, {
      temperatureCelsius: wort.temperatureCelsius,
      hours: stepHours,
      dropping: drops !== null && hours >= drops,
    });
    const share = fermentedShare(yeast) - before;
    onFermented(share);
    wort = cool(wort, cooler, {
      roomCelsius,
      heatCelsiusPerHour: (share * sugarGramPerLitre * heatCelsiusPerGramPerLitre) / stepHours,
      hours: stepHours,
      works: true,
    });
    return {
      gravity: gravityAt(original - fermentedShare(yeast) * (original - limit)),
      temperature: wort.temperatureCelsius,
    };
  };
};
