/**
 * A sealed keg in a cold store whose cooling fails: head pressure and temperature of the drink. A still
 * keg follows the store's air with a lag of its own; lags are assumptions. Stateful between steps, else pure.
 */
import { type Cooled, cool } from './cooled.ts';
import { type Course, stepHours, troubles } from './course.ts';
import { equilibriumPascal, filledKeg, headPressureAfter } from './sealed-keg.ts';
import { kegFill } from './skerrow-yard.ts';

/** Hours in which the drink comes 63 % of the way to the air around the keg. */
const hoursToAir = 14;

/** A store that stands in the sun: warmer than the yard's tank room by this much when not cooled. */
const sunCelsius = 8;

const store = {
  setPointCelsius: kegFill.vessel.filledAtCelsius,
  swingCelsius: 0.5,
  coolingCelsiusPerHour: 6,
  hoursToRoom: 5,
};

export const kegCourse = (): Course => {
  const keg = filledKeg(kegFill.vessel, kegFill.carbonationVolumes);
  let air: Cooled = { temperatureCelsius: kegFill.vessel.filledAtCelsius, cooling: false };
  let drinkCelsius: number = kegFill.vessel.filledAtCelsius;
  let gaugePressurePascal = equilibriumPascal(keg, drinkCelsius);
  return ({ hours, roomCelsius, done }) => {
    air = cool(air, store, {
      roomCelsius: roomCelsius + sunCelsius,
      heatCelsiusPerHour: 0,
      hours: stepHours,
      works: hours < troubles.coldStoreFails || done.has('cold-store-repaired'),
    });
    drinkCelsius +=
      (air.temperatureCelsius - drinkCelsius) * (1 - Math.exp(-stepHours / hoursToAir));
    gaugePressurePascal = headPressureAfter(keg, gaugePressurePascal, drinkCelsius, stepHours);
    return { 'gauge-pressure': gaugePressurePascal, temperature: drinkCelsius };
  };
};
