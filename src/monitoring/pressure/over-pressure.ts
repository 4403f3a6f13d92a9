/**
 * Over-pressure: measured gauge pressure against the rated pressure of the vessel.
 * Pure: no I/O, no clock.
 */
import { type ChannelMemory, usualGap } from '../course/channel-memory.ts';
import type { Finding } from '../finding.ts';
import { gaugePressure, percent } from '../words/spoken.ts';

/**
 * Share of the rating at which the alarm is raised. Chosen by us: late enough that a vessel worked close
 * to its rating is left alone, early enough to leave a margin for the error of an ordinary gauge (1.6 % of
 * full scale). Lower gives more warning and more alarms that come to nothing.
 */
const raiseShare = 0.95;

/**
 * Share at which the condition is over. The deadband of 5 % of the rating is wider than the 2 % that EEMUA 191 is
 * quoted with for pressure, since a keg breathes with the temperature of its room.
 */
const returnShare = 0.9;

/**
 * A reading that leaps, from below this share or by more than that, may be a stray of a field gauge: a second
 * reading must confirm it, or none must come for so many usual gaps. A regulator that fails fills a keg in
 * minutes, so with a gas supply the wait is never longer than half an hour; without one gas gathers over hours,
 * and one lost packet is waited out. A first reading has nothing that speaks against it and is believed at once.
 * Chosen by us: longer waits spare a stray (one reading in a thousand in the sample), shorter ones warn sooner.
 */
const nearShare = 0.8;
const leapShare = 0.12;
const confirmGaps = { supplied: 1.5, closed: 2.6 } as const;
const longestConfirmSeconds = { supplied: 30 * 60, closed: 3 * 3600 } as const;
const offDelaySeconds = 10 * 60;

type RatedVessel = {
  readonly ratedGaugePressurePascal: number;
  readonly gasConnected: boolean;
};

export const judgeOverPressure = (
  gaugePressurePascal: number,
  previousPascal: number | null,
  memory: ChannelMemory | undefined,
  { ratedGaugePressurePascal, gasConnected }: RatedVessel,
  at: number,
): Finding => {
  const supply = gasConnected ? 'supplied' : 'closed';
  const share = gaugePressurePascal / ratedGaugePressurePascal;
  const leapt =
    previousPascal !== null &&
    (previousPascal < nearShare * ratedGaugePressurePascal ||
      gaugePressurePascal - previousPascal > leapShare * ratedGaugePressurePascal);
  const gap = memory === undefined ? null : usualGap(memory);
  return {
    kind: 'over-pressure',
    channel: null,
    condition: share >= raiseShare ? 'holds' : share <= returnShare ? 'clear' : 'between',
    at,
    // High: the one alarm here for which a brewer asleep at home is to get up.
    priority: 'high',
    onDelaySeconds: leapt
      ? Math.min(
          longestConfirmSeconds[supply],
          confirmGaps[supply] * (gap ?? longestConfirmSeconds.supplied),
        )
      : 0,
    offDelaySeconds,
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
