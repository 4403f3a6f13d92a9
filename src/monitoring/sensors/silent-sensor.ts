/**
 * Silent sensor: a channel that has been heard regularly is heard no more. Channels that used to arrive together
 * come from one device and fall silent as one alarm. Pure: no I/O, no clock.
 */
import { type Channel, channelNames } from '../../science/units/channel.ts';
import type { Priority } from '../alarms/alarm.ts';
import { type ChannelMemory, usualGap } from '../course/channel-memory.ts';
import type { Finding } from '../finding.ts';
import type { Watched } from '../watched.ts';
import { duration } from '../words/spoken.ts';

/**
 * Silence in usual gaps. Chosen by us: radio sensors lose two or three readings in a row on an ordinary
 * day; a smaller factor alarms on those, a larger one reports a dead battery later.
 */
const gapsOfSilence = 3;

/**
 * Never sooner than this, whatever the rhythm. Chosen by us: outages of a router or a phone of up to three and a
 * half hours are in the sample of fixtures/bench on ordinary days, and fermentation changes over days.
 */
const shortestSilenceSeconds = 5 * 3600;

/** Such an outage, beside which the usual gaps are lost too. Chosen by us: less alarms on outages of slow sensors. */
const outageSeconds = 3.5 * 3600;

/** The same where the channel guards people: a keg can warm past its rating in half a day. Chosen by us. */
const shortestGuardSilenceSeconds = 3 * 3600;

export type Memories = Readonly<Partial<Record<Channel, ChannelMemory>>>;

/** The device that a channel belongs to: the channels that last arrived in the same moment, first one named. */
type Device = { readonly channels: readonly Channel[]; readonly from: number };

/** Unix seconds at which a channel counts as silent if nothing arrives; null until its rhythm is known. */
const silentFrom = (watched: Watched, channel: Channel, memory: ChannelMemory): number | null => {
  const gap = usualGap(memory);
  if (gap === null) return null;
  const lost = gapsOfSilence * gap;
  const silence = guards(watched, channel)
    ? Math.max(shortestGuardSilenceSeconds, lost)
    : Math.max(shortestSilenceSeconds, outageSeconds + lost);
  // While Gyleward was away nothing could arrive: that silence is no sensor's fault.
  const since = Math.max(memory.arrivedAt, watched.absence?.to ?? memory.arrivedAt);
  return since + silence;
};

export const devicesOf = (watched: Watched, memories: Memories): readonly Device[] => {
  const devices = new Map<number, { channels: Channel[]; from: number }>();
  for (const channel of channelNames) {
    const memory = memories[channel];
    const from = memory === undefined ? null : silentFrom(watched, channel, memory);
    if (memory === undefined || from === null) continue;
    const device = devices.get(memory.arrivedAt);
    if (device === undefined) devices.set(memory.arrivedAt, { channels: [channel], from });
    else {
      device.channels.push(channel);
      device.from = Math.min(device.from, from);
    }
  }
  return [...devices.values()];
};

/** One finding per channel with a known rhythm; in a silent device only the first channel speaks. */
export const judgeSilence = (
  watched: Watched,
  memories: Memories,
  now: number,
): readonly Finding[] =>
  devicesOf(watched, memories).flatMap(({ channels, from }) =>
    channels.map((channel, index) =>
      finding(
        watched,
        channels,
        channel,
        now < from ? 'clear' : index === 0 ? 'holds' : 'between',
        memories[channel],
        now,
      ),
    ),
  );

const finding = (
  watched: Watched,
  device: readonly Channel[],
  channel: Channel,
  condition: Finding['condition'],
  memory: ChannelMemory | undefined,
  now: number,
): Finding => {
  const priority = device.some((other) => guards(watched, other)) ? 'medium' : 'low';
  return {
    kind: 'silent-sensor',
    channel,
    condition,
    at: now,
    priority: priority satisfies Priority,
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    words: () => ({
      evidence:
        condition === 'clear' || memory === undefined
          ? `${channel} readings arrive again.`
          : `no ${named(device)} reading has arrived for ${duration(now - memory.arrivedAt)}; ` +
            `one usually comes every ${duration(usualGap(memory) ?? 0)}.${absenceWords(watched, memory)}`,
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

const absenceWords = ({ absence }: Watched, memory: ChannelMemory): string =>
  absence === undefined || absence === null || absence.to <= memory.arrivedAt
    ? ''
    : ` Gyleward itself was away for ${duration(absence.to - absence.from)} of that.`;

const named = (channels: readonly Channel[]): string =>
  channels.length < 2
    ? channels.join('')
    : `${channels.slice(0, -1).join(', ')} or ${channels.at(-1) ?? ''}`;

/**
 * Silence endangers nobody by itself, so its priority is low; it is medium where the channel guards people, for
 * then the watch is blind: head pressure of a vessel with a rating, and the air of a room.
 */
const guards = ({ vessel }: Watched, channel: Channel): boolean => {
  switch (channel) {
    case 'gauge-pressure':
    case 'absolute-pressure':
      return vessel.ratedGaugePressurePascal !== null;
    case 'carbon-dioxide':
    case 'oxygen':
      return true;
    default:
      return false;
  }
};
