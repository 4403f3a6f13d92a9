/**
 * Over-pressure: measured gauge pressure against the rated pressure of the vessel.
 * Pure: no I/O, no clock.
 */
import type { Finding } from './finding.ts';
import { gaugePressure, percent } from './spoken.ts';

/**
 * Share of the rating at which the alarm is raised. Chosen by us: late enough that a vessel worked close
 * to its rating is left alone, early enough to leave a margin for the error of an ordinary gauge (1.6 % of
 * full scale). Lower gives more warning and more alarms that come to nothing.
 */
const raiseShare = 0.95;

/** Deadband in shares of the rating: 2 % is what EEMUA 191 is quoted with for pressure; we take more. */
const returnShare = 0.9;

export const judgeOverPressure = (
  gaugePressurePascal: number,
  ratedGaugePressurePascal: number,
  at: number,
): Finding => {
  const share = gaugePressurePascal / ratedGaugePressurePascal;
  return {
    kind: 'over-pressure',
    channel: null,
    condition: share >= raiseShare ? 'holds' : share <= returnShare ? 'clear' : 'between',
    at,
    priority: 'high',
    onDelaySeconds: 0,
    offDelaySeconds: 10 * 60,
    words: () => ({
      evidence:
        `gauge pressure is ${gaugePressure(gaugePressurePascal)}, ${percent(share)} of the rated ` +
        `${gaugePressure(ratedGaugePressurePascal)}.`,
      likelyCauses: [
        'the vessel has warmed up',
        'the drink ferments in the closed vessel',
        'the vent or spunding valve is blocked or set too high',
        'the gas regulator is set too high or leaks through',
      ],
      checkFirst: [
        'keep people away from the vessel, and read its own gauge from a distance',
        'close the gas supply',
        'cool the vessel',
        'relieve the pressure slowly through the proper valve, with eye protection',
      ],
      caution: pressureCaution,
    }),
  };
};

export const pressureCaution =
  'A vessel over its rated pressure can burst. The nameplate and the relief device decide, not Gyleward. ' +
  'Never loosen a fitting under pressure; released carbon dioxide can suffocate, so ventilate. ' +
  'Follow local codes, and leave repairs to licensed people.';
