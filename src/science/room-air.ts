/**
 * Carbon dioxide in the air of a room from gas let go into it.
 *
 * One well-mixed box: dC/dt = G / V - n (C - C0), so C(t) = C0 + G / (n V) (1 - e^(-n t)) (mass balance).
 * Carbon dioxide is half again as heavy as air and gathers low (IPCS ICSC 0021): near the floor, in a pit
 * or under a tank it can be many times this mean. Oxygen falls by displacement: 0.2095 (1 - C).
 * Outdoor air 430 ppm (assumption for 2026; NOAA's mean passed 420 in 2023).
 * Limits: NIOSH REL and OSHA PEL 5 000 ppm over a working day; NIOSH and ACGIH 30 000 ppm over 15 minutes;
 * NIOSH 40 000 ppm immediately dangerous (NIOSH IDLH documentation, 1994); oxygen 19.5 % (30 CFR 75.321).
 * Gyleward is no gas detector: a certified monitor, ventilation and never entering alone decide.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

export const airLimits = {
  workingDayPpm: 5_000,
  shortTermPpm: 30_000,
  dangerousPpm: 40_000,
  oxygenFraction: 0.195,
} as const;

const outdoorPpm = 430;
const oxygenInAir = 0.2095;

export type RoomInput = {
  /** Gas let go into the room, litres per hour at 20 °C and 1 atm. */
  readonly gasLitrePerHour: number;
  readonly roomVolumeCubicMetre: number;
  /** Room volumes of fresh air per hour. */
  readonly airChangesPerHour: number;
  /** In the room at the start; outdoor air where it was aired. */
  readonly startPpm: number | null;
};

export type RoomAir = {
  readonly afterHoursPpm: number;
  /** Where it settles; null without any air change: it rises without end. */
  readonly settledPpm: number | null;
  readonly afterHoursOxygenFraction: number;
  /** Hours until each limit is passed; null where it is not. */
  readonly hoursToWorkingDayLimit: number | null;
  readonly hoursToShortTermLimit: number | null;
  readonly hoursToDangerousLimit: number | null;
};

/** The course of carbon dioxide in a room, and its level after a span of hours. */
export const roomAir = (input: RoomInput, hours: number): Result<RoomAir, ScienceFault> => {
  const start = input.startPpm ?? outdoorPpm;
  const fault = firstOutside([
    ['gasLitrePerHour', input.gasLitrePerHour, 0, 1e6, 'L/h'],
    ['roomVolumeCubicMetre', input.roomVolumeCubicMetre, 1, 1e5, 'm3'],
    ['airChangesPerHour', input.airChangesPerHour, 0, 60, '1/h'],
    ['startPpm', start, 0, 1e6, 'ppm'],
    ['hours', hours, 0, 1000, 'h'],
  ]);
  if (fault) return fail(fault);
  /** ppm per hour that the gas alone would add. */
  const inflow = (1000 * input.gasLitrePerHour) / input.roomVolumeCubicMetre;
  const changes = input.airChangesPerHour;
  // Less than one change in a hundred years is none.
  const settled = changes > 1e-6 ? outdoorPpm + inflow / changes : null;
  const after =
    settled === null
      ? start + inflow * hours
      : settled + (start - settled) * Math.exp(-changes * hours);
  const level = Math.min(1e6, after);

  const hoursTo = (limit: number): number | null => {
    if (start >= limit) return 0;
    if (settled === null) return inflow > 1e-9 ? (limit - start) / inflow : null;
    return settled > limit ? Math.log((settled - start) / (settled - limit)) / changes : null;
  };
  return ok({
    afterHoursPpm: level,
    settledPpm: settled === null ? null : Math.min(1e6, settled),
    afterHoursOxygenFraction: oxygenInAir * (1 - level * 1e-6),
    hoursToWorkingDayLimit: hoursTo(airLimits.workingDayPpm),
    hoursToShortTermLimit: hoursTo(airLimits.shortTermPpm),
    hoursToDangerousLimit: hoursTo(airLimits.dangerousPpm),
  });
};

/** ppm in a closed room after a volume of gas is let go at once, as when a vessel vents. */
export const afterSuddenRelease = (
  gasLitre: number,
  roomVolumeCubicMetre: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['gasLitre', gasLitre, 0, 1e6, 'L'],
    ['roomVolumeCubicMetre', roomVolumeCubicMetre, 1, 1e5, 'm3'],
  ]);
  if (fault) return fail(fault);
  // The gas pushes its own volume of mixed air out of the door: 1 - e^(-v/V) of the rest remains gas.
  const share = 1 - Math.exp(-gasLitre / (1000 * roomVolumeCubicMetre));
  return ok(1e6 * (share + (1 - share) * outdoorPpm * 1e-6));
};

/** Air changes per hour that keep a room below a level for good. */
export const airChangesToStayBelow = (
  gasLitrePerHour: number,
  roomVolumeCubicMetre: number,
  limitPpm: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['gasLitrePerHour', gasLitrePerHour, 0, 1e6, 'L/h'],
    ['roomVolumeCubicMetre', roomVolumeCubicMetre, 1, 1e5, 'm3'],
    ['limitPpm', limitPpm, outdoorPpm + 100, 1e5, 'ppm'],
  ]);
  return fault
    ? fail(fault)
    : ok((1000 * gasLitrePerHour) / roomVolumeCubicMetre / (limitPpm - outdoorPpm));
};
