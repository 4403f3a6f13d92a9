/**
 * What the gateways of the torture send: readings that a cellar could have, each with a time of its own,
 * some late. A pack spans several vessels, so that several objects must commit before it is acknowledged.
 */
import { firstStage } from '../../monitoring/batch.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import type { Channel } from '../../science/units/channel.ts';
import type { WritableReading } from '../../wire/senml-write.ts';
import { vessels as yard } from '../scenario/skerrow-yard.ts';
import type { Dice } from '../simulated/dice.ts';

/** The vessels that gateways send readings of all the time. */
export const loadVessels: readonly Vessel[] = yard.filter(
  ({ kind }) => kind === 'fermenter' || kind === 'barrel' || kind === 'bright-tank',
);

/** Batches for those of them that ferment, so that all detectors have work to do. */
export const loadBatches = (startedAt: number): readonly Readonly<Record<string, unknown>>[] =>
  loadVessels
    .filter(({ kind }) => firstStage[kind] === 'fermentation')
    .map(({ vessel, title }, index) => ({
      vessel,
      batch: `torture-ale-${index + 1}`,
      title: `Ale in ${title}`,
      drink: 'ale',
      startedAt,
      originalGravity: 1.048,
      expectedTerminalGravity: 1.011,
    }));

const packMinutes = 15;
const minute = 60;
/** Past days that readings are dated into, so that they are never ahead of the clock. */
export const pastDays = 30;
/** How far back a late pack reaches, in packs. */
const latePacks = 40;
const lateShare = 0.15;

/** Each gateway has channels of its own, as one sensor is read by one gateway. */
const gatewayChannels: readonly (readonly Channel[])[] = [
  ['temperature', 'gravity'],
  ['ph'],
  ['humidity', 'mass'],
  ['gas-flow'],
];

export const gatewayCount = gatewayChannels.length;

/** Digits as a sensor sends them. */
const digits = (value: number, places: number): number => Number(value.toFixed(places));

const sensed = (channel: Channel, dayOfBatch: number, dice: Dice): number => {
  switch (channel) {
    case 'gravity':
      return digits(
        1.011 + 0.037 / (1 + Math.exp(1.6 * (dayOfBatch - 3))) + dice.normal(0, 3e-4),
        4,
      );
    case 'temperature':
      return digits(19.2 + dice.normal(0, 0.15), 2);
    case 'ph':
      return digits(4.3 + dice.normal(0, 0.02), 2);
    case 'humidity':
      return digits(70 + dice.normal(0, 1), 1);
    case 'gas-flow':
      return digits(2e-6 * (1 + dice.uniform(0, 1)), 9);
    default:
      return digits(500 + dice.normal(0, 0.5), 2);
  }
};

/** Packs of one gateway, without end as far as thirty days of readings go; then null. */
export const loadPacks = (
  gateway: number,
  startedAt: number,
  dice: Dice,
): (() => readonly WritableReading[] | null) => {
  const channels = gatewayChannels[gateway % gatewayCount] ?? ['temperature'];
  const begin = Math.floor(startedAt / minute) * minute;
  let sent = 0;
  return () => {
    const index = sent;
    sent += 1;
    if (index >= (pastDays * 24 * 60) / packMinutes) return null;
    const late = index >= latePacks && dice.chance(lateShare);
    // Late readings lie between the minutes, where no other reading can be.
    const first =
      begin + (late ? index - latePacks : index) * packMinutes * minute + (late ? minute / 2 : 0);
    const chosen = loadVessels.filter(() => dice.chance(0.5));
    const own = chosen.length > 1 ? chosen : loadVessels.slice(0, 2);
    return own.flatMap(({ vessel }) =>
      channels.flatMap((channel) =>
        Array.from({ length: packMinutes }, (_, step): WritableReading => {
          const time = first + step * minute;
          return { vessel, channel, time, value: sensed(channel, (time - begin) / 86_400, dice) };
        }),
      ),
    );
  };
};
