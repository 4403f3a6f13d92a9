/** Head pressure outside the band that the batch names for conditioning or the keg. Pure: no I/O, no clock. */
import type { Finding } from '../finding.ts';
import { pressureCaution } from '../pressure/over-pressure.ts';
import { gaugePressure } from '../words/spoken.ts';
import type { Reading } from './course.ts';
import { limitOf } from './limits.ts';
import type { StageView } from './stage-view.ts';

/** Back inside by so much, as a share of the limit. Chosen by us: twice the 2 % that EEMUA 191 is quoted with. */
const deadbandShare = 0.04;
/** Longer than a pour or a coupling takes. Chosen by us. */
const onDelaySeconds = 30 * 60;
const offDelaySeconds = 15 * 60;

/** Medium above, since gas goes where pressure drives it; low beneath: the drink goes flat over days. */
export const judgePressureBand = (view: StageView, { time, value }: Reading): Finding | null => {
  const { stage, watched } = view;
  if (stage !== 'conditioning' && stage !== 'keg') return null;
  const low = limitOf(watched, stage, 'lowGaugePressurePascal');
  const high = limitOf(watched, stage, 'highGaugePressurePascal');
  if (low === null && high === null) return null;
  const above = high !== null && value > high;
  const below = low !== null && value < low;
  const inside =
    (high === null || value <= high * (1 - deadbandShare)) &&
    (low === null || value >= low * (1 + deadbandShare));
  const band = `${low === null ? 'no lower limit' : `at least ${gaugePressure(low)}`} and ${high === null ? 'no upper limit' : `at most ${gaugePressure(high)}`}`;
  return {
    kind: 'pressure-band',
    channel: null,
    condition: above || below ? 'holds' : inside ? 'clear' : 'between',
    at: time,
    priority: above ? 'medium' : 'low',
    onDelaySeconds,
    offDelaySeconds,
    words: () => ({
      evidence: `gauge pressure is ${gaugePressure(value)}, where the batch asks for ${band}.`,
      likelyCauses: above
        ? [
            'the vessel has warmed up',
            'the regulator is set too high or creeps',
            'the drink still ferments',
          ]
        : [
            'the gas cylinder is empty or shut',
            'a seal or coupling leaks',
            'the drink is taking up gas',
          ],
      checkFirst: above
        ? ['close the gas supply and read the gauge on the vessel', 'cool the vessel']
        : [
            'check the cylinder and the regulator',
            'brush soapy water over seals and couplings and look for bubbles',
            'ventilate the room before going in low places',
          ],
      caution: pressureCaution,
      source: 'The band is named by the batch.',
    }),
  };
};
