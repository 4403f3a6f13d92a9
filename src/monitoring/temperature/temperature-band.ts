/**
 * Temperature outside the band in force: of the batch, else of its vessel, else of the stage.
 * Pure: no I/O, no clock.
 */
import type { Stage } from '../batch.ts';
import type { Finding } from '../finding.ts';
import type { TemperatureBand } from '../vessel.ts';
import { celsius, duration } from '../words/spoken.ts';
import { temperatureHabits } from './temperature-habits.ts';

/**
 * How far inside the band the temperature must come before the alarm returns. Chosen by us: a thermostat
 * in a cellar swings by 0.3 to 0.5 °C; less would raise the alarm on each swing.
 */
const deadbandCelsius = 0.5;

const offDelaySeconds = 15 * 60;

export const judgeTemperature = (
  band: TemperatureBand,
  temperatureCelsius: number,
  at: number,
  outSince: number | null,
  stage: Stage | null,
): Finding => {
  const habits = temperatureHabits(stage);
  const above = temperatureCelsius > band.highCelsius;
  const below = temperatureCelsius < band.lowCelsius;
  const width = band.highCelsius - band.lowCelsius;
  const deadband = Math.min(deadbandCelsius, width / 4);
  const inside =
    temperatureCelsius <= band.highCelsius - deadband &&
    temperatureCelsius >= band.lowCelsius + deadband;
  return {
    kind: 'temperature',
    channel: 'temperature',
    condition: above || below ? 'holds' : inside ? 'clear' : 'between',
    at,
    priority: 'medium',
    onDelaySeconds: habits.onDelaySeconds,
    offDelaySeconds,
    words: () => ({
      evidence:
        above || below
          ? `temperature is ${celsius(temperatureCelsius)}, ` +
            `${celsius(above ? temperatureCelsius - band.highCelsius : band.lowCelsius - temperatureCelsius)} ` +
            `${above ? 'above' : 'below'} the band of ${celsius(band.lowCelsius)} to ${celsius(band.highCelsius)}` +
            `${outSince === null ? '' : `, for ${duration(at - outSince)}`}.`
          : `temperature is ${celsius(temperatureCelsius)}, inside the band of ${celsius(band.lowCelsius)} to ${celsius(band.highCelsius)}.`,
      likelyCauses: above ? habits.warmCauses : habits.coldCauses,
      checkFirst: [
        'measure the temperature with a second thermometer',
        'check the cooling or heating and its set point',
        ...(above ? habits.whenWarm : habits.whenCold),
      ],
      caution: habits.caution,
    }),
  };
};
