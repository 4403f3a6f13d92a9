/**
 * The temperature of a vessel between a thermostat's swings, its own heat and a warmer room: Newton's law
 * of cooling with one thermal mass. Rates are assumptions. Pure: no I/O, no clock, no randomness.
 */
export type Cooled = {
  readonly temperatureCelsius: number;
  /** Whether the thermostat asks for cold. */
  readonly cooling: boolean;
};

export type Cooler = {
  readonly setPointCelsius: number;
  /** The thermostat switches this far above and below its set point. */
  readonly swingCelsius: number;
  /** How fast full cooling brings the temperature down. */
  readonly coolingCelsiusPerHour: number;
  /** Hours in which the vessel comes 63 % of the way to the room's temperature. */
  readonly hoursToRoom: number;
};

export const cool = (
  state: Cooled,
  cooler: Cooler,
  conditions: {
    readonly roomCelsius: number;
    readonly heatCelsiusPerHour: number;
    readonly hours: number;
    /** False while the cooling has failed. */
    readonly works: boolean;
  },
): Cooled => {
  const { setPointCelsius, swingCelsius } = cooler;
  const cooling =
    state.temperatureCelsius > setPointCelsius + swingCelsius ||
    (state.cooling && state.temperatureCelsius > setPointCelsius - swingCelsius);
  const drift =
    (conditions.roomCelsius - state.temperatureCelsius) *
    (1 - Math.exp(-conditions.hours / cooler.hoursToRoom));
  const taken = cooling && conditions.works ? cooler.coolingCelsiusPerHour : 0;
  return {
    cooling,
    temperatureCelsius:
      state.temperatureCelsius + drift + (conditions.heatCelsiusPerHour - taken) * conditions.hours,
  };
};
