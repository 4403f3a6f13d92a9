/**
 * Sentences that the report and the terminal's summary share: counts, spans, what was foretold against what came.
 * Pure: no I/O, no clock.
 */

import { alarmText } from '../../monitoring/alarms/alarm-text.ts';
import { duration, points } from '../../monitoring/words/spoken.ts';
import type { Estimate } from '../../science/estimate.ts';
import { channelWords } from '../../web/messages.ts';
import { numberText } from '../../web/pages/quantity.ts';
import type { CsvUnderstood } from '../../wire/csv-read.ts';
import type { Foretold, ForetoldMoment } from './foretold.ts';
import type { History } from './history.ts';
import { zoneOf } from './report/when.ts';
import type { Occurrence, Told } from './told.ts';

export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${count === 0 ? 'no' : count} ${count === 1 ? one : many}`;

/** The name of an alarm, with the channel of a stuck sensor; a silent one may have several. */
export const alarmTitle = ({ alarm }: Occurrence): string => {
  const { title } = alarmText(alarm);
  return alarm.kind === 'stuck-sensor' && alarm.channel !== null
    ? `${title}: ${channelWords[alarm.channel].toLowerCase()}`
    : title;
};

export const alarmsOf = ({ marks }: Told): readonly Occurrence[] =>
  marks.filter((mark) => mark.kind === 'alarm');

/** "stood for 7 h", or to the end of the record. */
export const stoodWords = ({ at, endedAt }: Occurrence): string =>
  endedAt === null ? 'stood to the end of the record' : `stood for ${duration(endedAt - at)}`;

/** Day of the batch, the first being 1. */
export const dayWords = (at: number, begins: number): string =>
  `day\u00a0${Math.floor((at - begins) / 86_400) + 1}`;

export const momentWords = ({ share }: ForetoldMoment): string => {
  switch (share) {
    case null:
      return 'At the end of the record';
    case 0.25:
      return 'At a quarter of the fall';
    case 0.5:
      return 'At half the fall';
    default:
      return 'At three quarters of the fall';
  }
};

/** What came of the terminal gravity that was foretold, with who says so. */
export const cameWords = ({ gravity, by, stalled }: Foretold['came']): string =>
  stalled
    ? `stalled at ${numberText(gravity, 4)}`
    : `${numberText(gravity, 4)} came${by === 'person' ? ', measured by hand' : ''}`;

export const gravityBand = ({ low, high }: Estimate): string =>
  `${numberText(low, 4)} to ${numberText(high, 4)}`;

/** How far what was said lay from what came; a stalled batch never came to what was foretold. */
export const missWords = (said: Estimate, { gravity: came, stalled }: Foretold['came']): string => {
  if (stalled) return 'it stalled before';
  const miss = said.value - came;
  const inside = came >= said.low && came <= said.high ? 'inside the band' : 'outside the band';
  return Math.abs(miss) < 0.00005
    ? `to the point, ${inside}`
    : `${points(Math.abs(miss))} too ${miss > 0 ? 'high' : 'low'}, ${inside}`;
};

export const timeMissWords = (
  said: Estimate,
  { halfPointAt: came, stalled }: Foretold['came'],
): string => {
  if (stalled) return 'it stalled before';
  const miss = said.value - came;
  const inside = came >= said.low && came <= said.high ? 'inside the band' : 'outside the band';
  return Math.abs(miss) < 1800
    ? `within half an hour, ${inside}`
    : `${duration(Math.abs(miss))} too ${miss > 0 ? 'late' : 'early'}, ${inside}`;
};

const separatorNames = { ',': 'commas', ';': 'semicolons', '\t': 'tabs' } as const;

/** What was made of the file, as sentences. */
export const understoodWords = ({ understood, ...history }: History): readonly string[] => {
  const { separator, decimalMark, rows, blankLines } = understood;
  const mark =
    decimalMark === null
      ? 'no number with decimals'
      : `a decimal ${decimalMark === ',' ? 'comma' : 'point'}`;
  const list: (string | false)[] = [
    `Columns parted by ${separatorNames[separator]}, ${mark}; ${counted(rows, 'row')}.`,
    zoneWords(understood),
    blankLines > 0 && `${counted(blankLines, 'blank line')} passed over.`,
    history.repeats > 0 &&
      `${counted(history.repeats, 'reading')} given again with the same value, kept once.`,
    history.lateRows > 0 &&
      `${counted(history.lateRows, 'row')} earlier than a row before; taken as late, known when they came.`,
    history.earlyRows > 0 && `${counted(history.earlyRows, 'row')} from before the start left out.`,
  ];
  return list.filter((sentence) => sentence !== false);
};

const zoneWords = ({
  timeForm,
  rowsWithoutZone,
  assumedOffsetSeconds,
  offsetsSeconds,
}: CsvUnderstood): string => {
  if (timeForm === 'unix') return 'Times in Unix seconds, which are UTC.';
  const given = offsetsSeconds.map((offset) => zoneOf(offset).name).join(' and ');
  const assumed = `${zoneOf(assumedOffsetSeconds).name}`;
  if (rowsWithoutZone === 0) return `Times carry their zone: ${given}.`;
  return given === ''
    ? `Times carry no zone and are taken as ${assumed}.`
    : `Times carry the zone ${given}; ${counted(rowsWithoutZone, 'row')} without one taken as ${assumed}.`;
};

/** The zone in which a report tells its moments: the file's own where it has one only. */
export const reportZone = ({
  timeForm,
  rowsWithoutZone,
  assumedOffsetSeconds,
  offsetsSeconds,
}: CsvUnderstood) => {
  if (timeForm === 'unix') return zoneOf(0);
  return zoneOf(rowsWithoutZone > 0 ? assumedOffsetSeconds : (offsetsSeconds[0] ?? 0));
};
