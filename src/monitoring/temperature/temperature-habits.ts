/**
 * How a temperature out of its band is judged and spoken of in each stage: a mash is lost in minutes, a barrel in
 * weeks. Pure data.
 */
import type { Stage } from '../batch.ts';

export type TemperatureHabits = {
  /**
   * How long it must last. Chosen by us: longer than a lid opened for a sample or a warm addition, short against the
   * time in which the drink suffers. A longer delay costs as much warning.
   */
  readonly onDelaySeconds: number;
  readonly warmCauses: readonly string[];
  readonly coldCauses: readonly string[];
  readonly whenWarm: readonly string[];
  readonly whenCold: readonly string[];
  readonly caution: string | null;
};

const halfHour = 1800;

const stored: TemperatureHabits = {
  onDelaySeconds: halfHour,
  warmCauses: [
    'cooling has failed, or its set point was changed',
    'the room has turned warm',
    'the sensor hangs in air or touches a warm surface',
  ],
  coldCauses: [
    'heating has failed, or cooling runs without stopping',
    'the room has turned cold',
    'the sensor touches a cold surface',
  ],
  whenWarm: ['bring the temperature back slowly; note how long the batch was too warm'],
  whenCold: ['bring the temperature back slowly, and look for ice'],
  caution: null,
};

const fermenting: TemperatureHabits = {
  ...stored,
  warmCauses: [
    'cooling has failed, or its set point was changed',
    'fermentation heat is greater than the cooling',
    'the sensor hangs in air or touches a warm surface',
  ],
  whenCold: ['bring the temperature back slowly, and watch that fermentation goes on'],
};

const mashing: TemperatureHabits = {
  onDelaySeconds: 300,
  warmCauses: [
    'the heat was left on, or its set point was changed',
    'the strike liquor was too hot, or too much of it',
    'the mash is not stirred, and the probe sits by the heat',
  ],
  coldCauses: [
    'the tun was not warmed before, or loses heat',
    'the strike liquor was too cold, or too little of it',
    'the mash is not stirred, and the probe sits at the wall',
  ],
  whenWarm: ['stir in cold liquor', 'the clock of the rest stands still until it is back'],
  whenCold: ['heat gently and stir', 'the clock of the rest stands still until it is back'],
  caution: 'Hot liquor scalds. Keep hands and face away, and wear gloves and goggles.',
};

const steeping: TemperatureHabits = {
  ...stored,
  whenWarm: [
    'chill it to 5 °C or less at once: its food-safety clock runs',
    'note how long it was too warm; that time is never given back',
  ],
  caution:
    'An infusion that is neither cold nor sour can grow dangerous bacteria that neither taste nor smell shows. The local health authority decides which limits bind.',
};

const airing: TemperatureHabits = {
  ...stored,
  warmCauses: ['the ventilation or cooling of the room has failed', 'it is hot outside'],
  coldCauses: ['the heating has failed', 'a door stands open'],
  whenWarm: ['check the vessels in the room: closed ones gain pressure as they warm'],
  whenCold: ['check the vessels in the room for ice and slow yeast'],
};

export const temperatureHabits = (stage: Stage | null): TemperatureHabits => {
  switch (stage) {
    case 'mash-rest':
      return mashing;
    case 'fermentation':
    case null:
      return fermenting;
    case 'cold-steep':
      return steeping;
    case 'workroom':
      return airing;
    default:
      return stored;
  }
};
