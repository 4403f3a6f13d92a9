/**
 * Turns resolved SenML records into readings of vessels, or refuses them all with the first fault in
 * the order of the pack. A reading is named `{vessel}/{channel}`, is a number in a unit that the
 * channel accepts, lies within what the channel can physically be, and has a believable time.
 * Pure: no I/O, no clock; `now` is the time of receipt in Unix seconds.
 *
 * Within one pack a reading that is given twice with the same value is kept once; with two values it
 * is refused, since nothing says which of them is right.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Channel, channels, isChannel } from '../science/units/channel.ts';
import { acceptedUnits, toStoredUnit } from './channel-units.ts';
import type { ReadingFault } from './reading-fault.ts';
import type { SenmlRecord } from './senml.ts';
import { shownValue } from './shown-value.ts';

export type Reading = {
  readonly vessel: string;
  readonly channel: Channel;
  /** Unix seconds of the measurement. */
  readonly time: number;
  /** In the channel's stored unit. */
  readonly value: number;
  /** Index of the record in the pack as sent, counted from 0. */
  readonly record: number;
};

export type ReadingTimes = {
  /** Unix seconds. */
  readonly now: number;
  /** How far ahead of now a reading may be. Default 300. */
  readonly furthestAheadSeconds?: number;
  /** Unix seconds; an earlier reading comes from a clock that was not set. Default 2000-01-01. */
  readonly earliestTime?: number;
};

/**
 * Chosen by Gyleward: a sensor that sets its clock over the network is within seconds, one that is
 * set by hand within minutes. Higher lets a fast clock hide that the sensor fell silent.
 */
const furthestAheadByDefault = 300;

/**
 * 2000-01-01T00:00:00Z, chosen by Gyleward: clocks that were never set start in 1970 or, on some
 * clock chips, in 2000. Later would refuse the import of old batches.
 */
const earliestByDefault = 946_684_800;

const vesselPattern = /^[a-z0-9][a-z0-9-]{0,62}$/;

/** True for the short name of a vessel as it may stand in an address and in a reading's name. */
export const isVesselName = (name: string): boolean => vesselPattern.test(name);

type Named = { readonly vessel: string; readonly channel: Channel };

const readName = ({ name, record }: SenmlRecord): Result<Named, ReadingFault> => {
  const [vessel, channel, ...rest] = name.split('/');
  if (vessel === undefined || channel === undefined || rest.length > 0) {
    return fail({ kind: 'name-not-two-parts', record, found: shownValue(name) });
  }
  if (!isVesselName(vessel)) {
    return fail({ kind: 'vessel-malformed', record, found: shownValue(vessel) });
  }
  if (channel === 'pressure') return fail({ kind: 'bare-pressure', record });
  if (!isChannel(channel)) {
    return fail({ kind: 'channel-unknown', record, found: shownValue(channel) });
  }
  return ok({ vessel, channel });
};

const readNumber = ({ value, record }: SenmlRecord): Result<number, ReadingFault> => {
  switch (value?.kind) {
    case 'number':
      return ok(value.number);
    case 'text':
      return fail({
        kind: 'value-not-numeric',
        record,
        field: 'vs',
        found: shownValue(value.text),
      });
    case 'truth':
      return fail({ kind: 'value-not-numeric', record, field: 'vb', found: String(value.truth) });
    case 'data': {
      const found = shownValue(value.base64url);
      return fail({ kind: 'value-not-numeric', record, field: 'vd', found });
    }
    case undefined:
      return fail({ kind: 'value-missing', record });
  }
};

const readValue = (source: SenmlRecord, channel: Channel): Result<number, ReadingFault> => {
  const { record, unit } = source;
  const sent = readNumber(source);
  if (!sent.ok) return sent;
  const accepted = acceptedUnits(channel);
  if (unit === null || unit === '')
    return fail({ kind: 'unit-missing', record, channel, accepted });
  if (unit === '%') return fail({ kind: 'percent-sign', record, channel, accepted });
  const value = toStoredUnit(channel, unit, sent.value);
  if (value === null) {
    const found = shownValue(unit);
    return fail({ kind: 'unit-not-accepted', record, channel, found, accepted });
  }
  const { unit: stored, lowest, highest } = channels[channel];
  // Written so that NaN falls outside too.
  if (!(value >= lowest && value <= highest)) {
    const kind = 'value-out-of-range';
    return fail({ kind, record, channel, found: value, unit: stored, lowest, highest });
  }
  return ok(value);
};

const readTime = (source: SenmlRecord, times: ReadingTimes): Result<number, ReadingFault> => {
  const { record, timeSeconds: found } = source;
  const { now, furthestAheadSeconds = furthestAheadByDefault } = times;
  const { earliestTime = earliestByDefault } = times;
  if (!(found >= earliestTime))
    return fail({ kind: 'time-too-early', record, found, earliestTime });
  if (!(found <= now + furthestAheadSeconds)) {
    return fail({ kind: 'time-ahead', record, found, now, furthestAheadSeconds });
  }
  return ok(found);
};

/** Readings in chronological order. */
export const readingsOf = (
  records: readonly SenmlRecord[],
  times: ReadingTimes,
): Result<readonly Reading[], ReadingFault> => {
  const kept = new Map<string, Reading>();
  for (const source of records.toSorted((one, other) => one.record - other.record)) {
    const { record } = source;
    const name = readName(source);
    if (!name.ok) return name;
    const { vessel, channel } = name.value;
    const value = readValue(source, channel);
    if (!value.ok) return value;
    const time = readTime(source, times);
    if (!time.ok) return time;

    const reading: Reading = { vessel, channel, time: time.value, value: value.value, record };
    const key = `${vessel}/${channel}@${reading.time}`;
    const earlier = kept.get(key);
    if (earlier === undefined) {
      kept.set(key, reading);
    } else if (earlier.value !== reading.value) {
      return fail({
        kind: 'contradiction',
        record,
        earlierRecord: earlier.record,
        vessel,
        channel,
        time: reading.time,
        found: reading.value,
        earlier: earlier.value,
      });
    }
  }
  return ok([...kept.values()].sort((one, other) => one.time - other.time));
};
