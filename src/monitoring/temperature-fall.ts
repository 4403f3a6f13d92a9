/**
 * Temperature that leaves a fermentation at work, for batches to which nobody gave a band: a fall that yeast does
 * not stand. Where a band is given, temperature-band.ts judges instead. Pure: no I/O, no clock.
 */
import type { FermentationSigns, TemperatureSigns } from './fermentation-signs.ts';
import type { Finding } from './finding.ts';
import { celsius, duration } from './spoken.ts';
import type { Pace } from './stall.ts';

/**
 * Fall from the usual temperature that raises the alarm. Chosen by us: twice what a fermentation loses when its
 * own heat dies down, half of what stops yeast. Smaller alarms on every lively batch that calms down.
 */
const raiseCelsius = 4;
const returnCelsius = 2.5;

/** The usual temperature is taken over this time, see fermentation-signs.ts. */
const usualSeconds = 5 * 86_400;

/** Near the expected end cooling is a brewer's wish, and no fall is alarmed. */
export const judgeTemperatureFall = (
  temperature: TemperatureSigns,
  signs: FermentationSigns,
  judged: Pace | null,
  at: number,
): Finding => {
  const unfinished = judged !== null && judged.sureDistance > 0 && signs.fallen > 2;
  return {
    kind: 'temperature',
    channel: 'temperature',
    condition:
      temperature.fallenBy >= raiseCelsius && unfinished
        ? 'holds'
        : temperature.fallenBy <= returnCelsius
          ? 'clear'
          : 'between',
    at,
    priority: 'medium',
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    words: () => ({
      evidence:
        `temperature is ${celsius(temperature.now)}, ${celsius(temperature.fallenBy)} below the ` +
        `${celsius(temperature.usual)} usual over the last ${duration(usualSeconds)}, while the fermentation is unfinished.`,
      likelyCauses: [
        'cooling runs without stopping, or its set point was changed',
        'the room has turned cold',
        'the fermentation has slowed, and its own heat is missing',
      ],
      checkFirst: [
        'measure the temperature with a second thermometer',
        'check the cooling and its set point',
        'bring the temperature back slowly, and watch that fermentation goes on',
        'give the batch a temperature band, so that Gyleward knows what is meant',
      ],
      caution: null,
    }),
  };
};
