/**
 * Every way in which a resolved SenML record can fail to be a reading of a vessel, and each in
 * words. `record` is the index of the record in the pack, counted from 0. Names and units from
 * outside are stored as they may be shown. Pure: no I/O, no clock.
 */
import { type Channel, channelNames } from '../science/units/channel.ts';
import { recordPlace } from './record-place.ts';
import { rfc3339 } from './rfc3339.ts';

export type ReadingFault =
  | { readonly kind: 'name-not-two-parts'; readonly record: number; readonly found: string }
  | { readonly kind: 'vessel-malformed'; readonly record: number; readonly found: string }
  | { readonly kind: 'bare-pressure'; readonly record: number }
  | { readonly kind: 'channel-unknown'; readonly record: number; readonly found: string }
  | { readonly kind: 'value-missing'; readonly record: number }
  | {
      readonly kind: 'value-not-numeric';
      readonly record: number;
      readonly field: 'vs' | 'vb' | 'vd';
      readonly found: string;
    }
  | {
      readonly kind: 'unit-missing';
      readonly record: number;
      readonly channel: Channel;
      readonly accepted: readonly string[];
    }
  | {
      readonly kind: 'percent-sign';
      readonly record: number;
      readonly channel: Channel;
      readonly accepted: readonly string[];
    }
  | {
      readonly kind: 'unit-not-accepted';
      readonly record: number;
      readonly channel: Channel;
      readonly found: string;
      readonly accepted: readonly string[];
    }
  | {
      readonly kind: 'value-out-of-range';
      readonly record: number;
      readonly channel: Channel;
      /** In the channel's stored unit, as are the bounds. */
      readonly found: number;
      readonly unit: string;
      readonly lowest: number;
      readonly highest: number;
    }
  | {
      readonly kind: 'time-ahead';
      readonly record: number;
      /** Unix seconds. */
      readonly found: number;
      readonly now: number;
      readonly furthestAheadSeconds: number;
    }
  | {
      readonly kind: 'time-too-early';
      readonly record: number;
      /** Unix seconds. */
      readonly found: number;
      readonly earliestTime: number;
    }
  | {
      readonly kind: 'contradiction';
      readonly record: number;
      readonly earlierRecord: number;
      readonly vessel: string;
      readonly channel: Channel;
      /** Unix seconds. */
      readonly time: number;
      readonly found: number;
      readonly earlier: number;
    };

const timeInWords = (timeSeconds: number): string =>
  rfc3339(timeSeconds) ?? `${timeSeconds} s from 1970`;

export const readingFaultInWords = (fault: ReadingFault): string => {
  switch (fault.kind) {
    case 'name-not-two-parts':
      return `${recordPlace(fault.record, 'n')} makes the name ${fault.found}; name a reading {vessel}/{channel}, with one stroke`;
    case 'vessel-malformed':
      return `${recordPlace(fault.record, 'n')} names the vessel ${fault.found}; use 1 to 63 lower-case letters, digits and hyphens, not beginning with a hyphen`;
    case 'bare-pressure':
      return `${recordPlace(fault.record, 'n')} names the channel "pressure", which does not say against what; use gauge-pressure (above the surrounding air) or absolute-pressure (against vacuum)`;
    case 'channel-unknown':
      return `${recordPlace(fault.record, 'n')} names the channel ${fault.found}; use one of ${channelNames.join(', ')}`;
    case 'value-missing':
      return `${recordPlace(fault.record, 'v')} is missing; a reading is a number in v, a sum alone is not enough`;
    case 'value-not-numeric':
      return `${recordPlace(fault.record, fault.field)} is ${fault.found}; a reading is a number, send it in v`;
    case 'unit-missing':
      return `${recordPlace(fault.record, 'u')} is missing; send ${fault.channel} in ${fault.accepted.join(' or ')}`;
    case 'percent-sign':
      return `${recordPlace(fault.record, 'u')} is "%", which in SenML is the plain ratio, 1 for the whole, and often meant otherwise; send ${fault.channel} in ${fault.accepted.join(' or ')}`;
    case 'unit-not-accepted':
      return `${recordPlace(fault.record, 'u')} is ${fault.found}; send ${fault.channel} in ${fault.accepted.join(' or ')}`;
    case 'value-out-of-range':
      return `${recordPlace(fault.record, 'v')} makes ${fault.channel} ${fault.found} ${fault.unit}, outside ${fault.lowest} to ${fault.highest} ${fault.unit}; check the sensor and its unit`;
    case 'time-ahead':
      return `${recordPlace(fault.record, 't')} makes the time ${timeInWords(fault.found)}, more than ${fault.furthestAheadSeconds} s after ${timeInWords(fault.now)}; set the sensor's clock, and mind that a time below 2**28 counts from the time of receipt`;
    case 'time-too-early':
      return `${recordPlace(fault.record, 't')} makes the time ${timeInWords(fault.found)}, before ${timeInWords(fault.earliestTime)}; set the sensor's clock, or leave the time out to mean the time of receipt`;
    case 'contradiction':
      return `${recordPlace(fault.record, 'v')} gives ${fault.vessel}/${fault.channel} at ${timeInWords(fault.time)} as ${fault.found}, and ${recordPlace(fault.earlierRecord, 'v')} as ${fault.earlier}; send one value for one time`;
  }
};
