/**
 * Silent sensor: a channel that has been heard regularly is heard no more.
 * Pure: no I/O, no clock.
 */
import type { Channel } from '../science/units/channel.ts';
import type { Priority } from './alarm.ts';
import { type ChannelMemory, usualGap } from './channel-memory.ts';
import type { Finding } from './finding.ts';
import { duration } from './spoken.ts';

/**
 * Silence in usual gaps. Chosen by us: radio sensors lose two or three readings in a row on an ordinary
 * day; a smaller factor alarms on those, a larger one reports a dead battery later.
 */
const gapsOfSilence = 4;

/**
 * Never sooner than this, whatever the rhythm. Chosen by us: a router restart or a flat phone takes an
 * hour, and nothing in a cellar turns bad within it for want of a reading.
 */
const shortestSilenceSeconds = 2 * 3600;

/** Seconds without an arrival after which the channel counts as silent; null until its rhythm is known. */
const silenceLimit = (memory: ChannelMemory): number | null => {
  const gap = usualGap(memory);
  return gap === null ? null : Math.max(shortestSilenceSeconds, gapsOfSilence * gap);
};

/** Unix seconds at which the channel becomes silent if nothing arrives; null until its rhythm is known. */
export const silentFrom = (memory: ChannelMemory): number | null => {
  const limit = silenceLimit(memory);
  return limit === null ? null : memory.arrivedAt + limit;
};

export const judgeSilence = (
  channel: Channel,
  memory: ChannelMemory,
  priority: Priority,
  now: number,
): Finding | null => {
  const from = silentFrom(memory);
  if (from === null) return null;
  const silent = now >= from;
  return {
    kind: 'silent-sensor',
    channel,
    condition: silent ? 'holds' : 'clear',
    at: now,
    priority,
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    words: () => ({
      evidence: silent
        ? `no ${channel} reading has arrived for ${duration(now - memory.arrivedAt)}; ` +
          `one usually comes every ${duration(usualGap(memory) ?? 0)}.`
        : `${channel} readings arrive again.`,
      likelyCauses: [
        'the sensor has no power, or its battery is empty',
        'the sensor is out of radio range, or the gateway or network is down',
        'the key with which the sensor sends was revoked',
      ],
      checkFirst: [
        'see whether other sensors of the same gateway are silent too',
        'check power and signal at the vessel',
        'take a reading by hand until the sensor is back',
      ],
      caution:
        priority === 'low'
          ? null
          : 'While this sensor is silent Gyleward does not see a danger here. Go by the gauge on the vessel, its relief device or a certified gas monitor.',
    }),
  };
};
