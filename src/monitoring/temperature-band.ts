/**
 * Temperature outside the band of the batch, or of the vessel where the batch names none.
 * Pure: no I/O, no clock.
 */
import type { Finding } from './finding.ts';
import { celsius, duration } from './spoken.ts';
import type { TemperatureBand } from './vessel.ts';
import type { Watched } from './watched.ts';

/**
 * How far inside the band the temperature must come before the alarm returns. Chosen by us: a thermostat
 * in a cellar swings by 0.3 to 0.5 °C; less would raise the alarm on each swing.
 */
const deadbandCelsius = 0.5;

/**
 * How long it must last. Chosen by us: longer than a lid opened for a sample or a warm addition, short
 * against the hours in which yeast suffers. A longer delay costs as much warning.
 */
const onDelaySeconds = 30 * 60;
const offDelaySeconds = 15 * 60;

/** The band that counts: the batch's own, else the vessel's. */
export const bandOf = ({ vessel, batch }: Watched): TemperatureBand | null =>
  batch?.temperatureBand ?? vessel.temperatureBand;

export const judgeTemperature = (
  band: TemperatureBand,
  temperatureCelsius: number,
  at: number,
  outSince: number | null,
): Finding => {
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
    onDelaySeconds,
    offDelaySeconds,
    words: () => ({
      evidence:
        above || below
          ? `temperature is ${celsius(temperatureCelsius)}, ` +
            `${celsius(above ? temperatureCelsius - band.highCelsius : band.lowCelsius - temperatureCelsius)} ` +
            `${above ? 'above' : 'below'} the band of ${celsius(band.lowCelsius)} to ${celsius(band.highCelsius)}` +
            `${outSince === null ? '' : `, for ${duration(at - outSince)}`}.`
          : `temperature is ${celsius(temperatureCelsius)}, inside the band of ${celsius(band.lowCelsius)} to ${celsius(band.highCelsius)}.`,
      likelyCauses: above
        ? [
            'cooling has failed, or its set point was changed',
            'fermentation heat is greater than the cooling',
            'the sensor hangs in air or touches a warm surface',
          ]
        : [
            'heating has failed, or cooling runs without stopping',
            'the room has turned cold',
            'the sensor touches a cold surface',
          ],
      checkFirst: [
        'measure the temperature with a second thermometer',
        'check the cooling or heating and its set point',
        above
          ? 'bring the temperature back slowly; note how long the batch was too warm'
          : 'bring the temperature back slowly, and watch that fermentation goes on',
      ],
      caution: null,
    }),
  };
};
