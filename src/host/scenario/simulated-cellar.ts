/**
 * Fourteen days and more at Skerrow Yard, a quarter of an hour at a time: what each sensor says, and how
 * what people do changes it. The same seed and the same deeds at the same steps give the same readings.
 * No I/O, no clock; its randomness comes from the seed alone.
 */
import { type Channel, channels } from '../../science/units/channel.ts';
import { type Course, stepHours, stepSeconds, type Truth, troubles } from './course.ts';
import type { DeedKind } from './deed.ts';
import { fermenterCourse } from './fermenter-course.ts';
import { sugarGramPerLitre } from './fermenting.ts';
import { kegCourse } from './keg-course.ts';
import { barrelCourse, brightTankCourse, roomCourse, steepCourse } from './quiet-courses.ts';
import { type Noise, seededNoise } from './seeded-noise.ts';
import { fermentations, type VesselName, vessels } from './skerrow-yard.ts';

export type SimulatedReading = {
  readonly vessel: VesselName;
  readonly channel: Channel;
  /** Seconds after the start of the story. */
  readonly afterSeconds: number;
  readonly value: number;
};

export type SimulatedStep = {
  /** Seconds after the start of the story at which the step ends. */
  readonly endsAfterSeconds: number;
  /** In order of time. */
  readonly readings: readonly SimulatedReading[];
  /** What no sensor can say. */
  readonly truth: Readonly<Record<VesselName, Truth>>;
};

export type SimulatedCellar = {
  /** The next quarter of an hour. */
  readonly step: () => SimulatedStep;
  /** Something that a person does before the next step. */
  readonly apply: (deed: DeedKind) => void;
};

/**
 * Noise (standard deviation) and the last digit of each kind of sensor. Gravity as of a floating device,
 * the rest as of ordinary probes: assumptions.
 */
const sensors: Readonly<
  Partial<Record<Channel, { readonly noise: number; readonly digit: number }>>
> = {
  temperature: { noise: 0.04, digit: 0.01 },
  gravity: { noise: 0.00045, digit: 0.0001 },
  'gauge-pressure': { noise: 500, digit: 100 },
  ph: { noise: 0.01, digit: 0.01 },
  'carbon-dioxide': { noise: 15, digit: 1 },
  oxygen: { noise: 0.0004, digit: 0.0001 },
  humidity: { noise: 0.4, digit: 0.1 },
};

/** Foam lifts a floating sensor now and then while fermentation is brisk. */
const foam = { fromHours: 20, toHours: 72, chance: 0.02, liftGravity: 0.006 };

const sensed = (channel: Channel, truth: number, hours: number, noise: Noise): number => {
  const sensor = sensors[channel];
  if (sensor === undefined) throw new Error(`the scenario has no sensor for ${channel}`);
  const lifted =
    channel === 'gravity' &&
    hours > foam.fromHours &&
    hours < foam.toHours &&
    noise.uniform() < foam.chance
      ? foam.liftGravity * noise.uniform()
      : 0;
  const { lowest, highest } = channels[channel];
  const value = truth + lifted + sensor.noise * noise.normal();
  const shown = Math.round(value / sensor.digit) * sensor.digit;
  return Number(Math.min(highest, Math.max(lowest, shown)).toFixed(4));
};

/** Grams of carbon dioxide per gram of sugar: Balling's 0.9565 of 2.0665. */
const carbonDioxideShare = 0.9565 / 2.0665;

export const simulatedCellar = (seed: number): SimulatedCellar => {
  const done = new Set<DeedKind>();
  let givenOffGram = 0;
  const fermenter = (
    name: keyof typeof fermentations,
    litres: number,
    yeastDropsAfterHours: number | null,
  ): Course =>
    fermenterCourse({ ...fermentations[name], yeastDropsAfterHours }, (share) => {
      givenOffGram += share * sugarGramPerLitre * litres * carbonDioxideShare;
    });
  const courses: Readonly<Record<VesselName, Course>> = {
    'fermenter-1': fermenter('fermenter-1', 490, null),
    'fermenter-2': fermenter('fermenter-2', 460, troubles.yeastDrops),
    'fermenter-3': fermenter('fermenter-3', 240, null),
    'bright-tank': brightTankCourse(),
    'keg-7': kegCourse(),
    'barrel-3': barrelCourse(),
    'steeping-tank': steepCourse(),
    'tank-room': roomCourse(() => {
      const taken = givenOffGram;
      givenOffGram = 0;
      return taken;
    }),
  };
  const noises = new Map<string, Noise>();
  const noiseOf = (vessel: VesselName, channel: Channel): Noise => {
    const name = `${vessel}/${channel}`;
    const noise = noises.get(name) ?? seededNoise(seed, name);
    noises.set(name, noise);
    return noise;
  };
  const silent = (vessel: VesselName, channel: Channel, hours: number): boolean =>
    vessel === 'fermenter-3' &&
    channel === 'gravity' &&
    hours >= troubles.batteryEmpty &&
    !done.has('battery-replaced');

  let steps = 0;
  return {
    apply: (deed) => {
      done.add(deed);
    },
    step: () => {
      const startSeconds = steps * stepSeconds;
      const hours = steps * stepHours;
      steps += 1;
      const moment = {
        hours,
        // The yard's air: 20 °C on average, warmest in the middle of the afternoon.
        roomCelsius: 20 + 2.5 * Math.sin((2 * Math.PI * (hours - 9)) / 24),
        done,
      };
      const truth = Object.fromEntries(
        vessels.map(({ vessel }) => [vessel, courses[vessel](moment)]),
      ) as Record<VesselName, Truth>;
      const readings = vessels.flatMap(({ vessel }, index) =>
        Object.entries(truth[vessel]).flatMap(([name, value]) => {
          const channel = name as Channel;
          const noise = noiseOf(vessel, channel);
          const reading = sensed(channel, value, hours, noise);
          // Each vessel's sensors report at a moment of their own.
          const afterSeconds = startSeconds + 60 + 20 * index;
          return silent(vessel, channel, hours)
            ? []
            : [{ vessel, channel, afterSeconds, value: reading }];
        }),
      );
      return { endsAfterSeconds: steps * stepSeconds, readings, truth };
    },
  };
};
