/**
 * Writes readings as a SenML pack (RFC 8428 section 5, versions after RFC 9100), either resolved
 * (section 4.6: every record stands alone) or with base fields, which is what a gateway sends.
 * What parseSenml and readingsOf make of the pack equals the readings that went in.
 * Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Channel, channels } from '../science/units/channel.ts';
import { isVesselName } from './readings.ts';
import { defaultSenmlVersion, firstAbsoluteTime, secondaryUnitsVersion } from './senml.ts';
import type { SenmlFields } from './senml-fields.ts';
import { shownValue } from './shown-value.ts';

export const senmlMediaType = 'application/senml+json';

export type WritableReading = {
  readonly vessel: string;
  readonly channel: Channel;
  /** Unix seconds. */
  readonly time: number;
  /** In the channel's stored unit. */
  readonly value: number;
};

export type SenmlForm = 'resolved' | 'with-base-fields';

export type SenmlWriteFault =
  | { readonly kind: 'nothing-to-write' }
  | { readonly kind: 'vessel-malformed'; readonly reading: number; readonly found: string }
  | { readonly kind: 'value-not-finite'; readonly reading: number; readonly found: number }
  /** Below 2**28 a time would be read as relative to now (section 4.5.3). */
  | { readonly kind: 'time-not-absolute'; readonly reading: number; readonly found: number };

/** `reading` in a fault is the index of the reading as given, counted from 0. */
export const senmlWriteFaultInWords = (fault: SenmlWriteFault): string => {
  switch (fault.kind) {
    case 'nothing-to-write':
      return 'there is no reading to write; a SenML pack holds at least one record';
    case 'vessel-malformed':
      return `reading ${fault.reading + 1} names the vessel ${fault.found}; use 1 to 63 lower-case letters, digits and hyphens, not beginning with a hyphen`;
    case 'value-not-finite':
      return `reading ${fault.reading + 1} has the value ${fault.found}; give it a finite number`;
    case 'time-not-absolute':
      return `reading ${fault.reading + 1} has the time ${fault.found}; give it Unix seconds of at least ${firstAbsoluteTime}`;
  }
};

/** Secondary units of RFC 8798 section 3 among the stored units: a pack that uses one says so. */
const isSecondary = (channel: Channel): boolean => channels[channel].unit === 'ppm';

const firstFault = (readings: readonly WritableReading[]): SenmlWriteFault | null => {
  if (readings.length === 0) return { kind: 'nothing-to-write' };
  for (const [reading, { vessel, value, time }] of readings.entries()) {
    if (!isVesselName(vessel)) {
      return { kind: 'vessel-malformed', reading, found: shownValue(vessel) };
    }
    if (!Number.isFinite(value)) return { kind: 'value-not-finite', reading, found: value };
    if (!(time >= firstAbsoluteTime) || !Number.isFinite(time)) {
      return { kind: 'time-not-absolute', reading, found: time };
    }
  }
  return null;
};

type Versioned = Pick<SenmlFields, 'bver'>;

/** Section 4.6: resolved records all carry the version, unless it is 10. */
const resolved = (readings: readonly WritableReading[], version: Versioned): SenmlFields[] =>
  readings.map(({ vessel, channel, time, value }) => ({
    ...version,
    n: `${vessel}/${channel}`,
    u: channels[channel].unit,
    t: time,
    v: value,
  }));

/**
 * Vessel as base name, unit and time as base fields, each given again where it changes. A time is
 * written as the difference from its base time only where adding the two gives it back exactly.
 */
const withBaseFields = (
  readings: readonly WritableReading[],
  version: Versioned,
): SenmlFields[] => {
  let baseName = '';
  let baseUnit = '';
  let baseTime = Number.NaN;
  return readings.map(({ vessel, channel, time, value }, index) => {
    const name = `${vessel}/`;
    const { unit } = channels[channel];
    const difference = time - baseTime;
    const restart = baseTime + difference !== time;
    const fields: SenmlFields = {
      ...(index === 0 ? version : {}),
      ...(name === baseName ? {} : { bn: name }),
      ...(unit === baseUnit ? {} : { bu: unit }),
      ...(restart ? { bt: time } : {}),
      n: channel,
      ...(restart || difference === 0 ? {} : { t: difference }),
      v: value,
    };
    baseName = name;
    baseUnit = unit;
    if (restart) baseTime = time;
    return fields;
  });
};

/** Records in chronological order, ready for JSON.stringify. */
export const senmlPackOf = (
  readings: readonly WritableReading[],
  form: SenmlForm,
): Result<readonly SenmlFields[], SenmlWriteFault> => {
  const fault = firstFault(readings);
  if (fault !== null) return fail(fault);
  const secondary = readings.some(({ channel }) => isSecondary(channel));
  const number = secondary ? secondaryUnitsVersion : defaultSenmlVersion;
  const version = number === defaultSenmlVersion ? {} : { bver: number };
  const ordered = readings.toSorted((one, other) => one.time - other.time);
  return ok(form === 'resolved' ? resolved(ordered, version) : withBaseFields(ordered, version));
};
