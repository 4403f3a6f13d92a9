/**
 * The vessels without a fermentation or a sealed keg: the bright tank under its regulator, the barrel, the
 * steeping tank and the tank room. Rates are assumptions. Stateful between steps, else pure.
 */
import { gasDensityAt, standardAtmosphere } from '../../science/gas-law.ts';
import { type Cooled, cool } from './cooled.ts';
import { type Course, stepHours, troubles } from './course.ts';
import { bright, steepAtDay } from './skerrow-yard.ts';

/** Its glycol pump trips, and it warms until somebody starts the pump again. */
export const brightTankCourse = (): Course => {
  const cooler = {
    setPointCelsius: bright.setPointCelsius,
    swingCelsius: 0.3,
    coolingCelsiusPerHour: 1,
    hoursToRoom: 55,
  };
  let beer: Cooled = { temperatureCelsius: bright.setPointCelsius, cooling: false };
  return ({ hours, roomCelsius, done }) => {
    beer = cool(beer, cooler, {
      roomCelsius,
      heatCelsiusPerHour: 0,
      hours: stepHours,
      works: hours < troubles.glycolPumpTrips || done.has('glycol-pump-restarted'),
    });
    return {
      'gauge-pressure': bright.gaugePressurePascal,
      temperature: beer.temperatureCelsius,
    };
  };
};

/** A vault that hardly feels the day. */
export const barrelCourse = (): Course => {
  let wineCelsius = 13;
  return ({ hours, roomCelsius }) => {
    const vaultCelsius = 13 + (roomCelsius - 20) / 5;
    wineCelsius += (vaultCelsius - wineCelsius) * (1 - Math.exp(-stepHours / 40));
    return { temperature: wineCelsius, humidity: 82 + 2 * Math.sin((2 * Math.PI * hours) / 90) };
  };
};

/** Empty until the steep is set; lemon keeps it sour. */
export const steepCourse = (): Course => {
  const cooler = {
    setPointCelsius: 3.2,
    swingCelsius: 0.3,
    coolingCelsiusPerHour: 1.5,
    hoursToRoom: 30,
  };
  let infusion: Cooled = { temperatureCelsius: 3.4, cooling: false };
  return ({ hours, roomCelsius }) => {
    const steeped = hours - steepAtDay * 24;
    if (steeped < 0) return {};
    infusion = cool(infusion, cooler, {
      roomCelsius,
      heatCelsiusPerHour: 0,
      hours: stepHours,
      works: true,
    });
    return {
      temperature: infusion.temperatureCelsius,
      ph: 4.1 + 0.15 * Math.exp(-steeped / 10),
    };
  };
};

const roomVolumeLitre = 180_000;
/** Changes of the room's air in an hour, by its fan. */
const airChangesPerHour = 2;

/**
 * The air that people breathe, well mixed. Fresh air holds 430 ppm of carbon dioxide and a share of 0.2095
 * of oxygen; what the fermenters give off displaces both.
 */
export const roomCourse = (
  /** Carbon dioxide that all fermenters gave off since the last step. */
  takeGivenOffGram: () => number,
): Course => {
  let addedShare = 0;
  return ({ roomCelsius }) => {
    const addedLitre = takeGivenOffGram() / gasDensityAt(standardAtmosphere, roomCelsius);
    addedShare =
      (addedShare + addedLitre / roomVolumeLitre) * Math.exp(-airChangesPerHour * stepHours);
    return {
      temperature: roomCelsius,
      'carbon-dioxide': 430 + 1e6 * addedShare,
      oxygen: 0.2095 * (1 - addedShare),
    };
  };
};
