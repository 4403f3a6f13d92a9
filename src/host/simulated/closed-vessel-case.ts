/**
 * One simulated closed or vented vessel with its truth. Events and label fields are those of
 * fixtures/bench/README.md. Equilibrium is Henry's law for carbon dioxide (R. Sander, Atmos. Chem. Phys. 23
 * (2023) 10901: 3.4e-4 mol/(m3 Pa) at 25 °C, 2400 K) with an ideal gas above, which is another model than the
 * one that Gyleward judges by. Liquid and headspace are two stores: yeast fills the one, a leak empties the other, a
 * pour widens it, and the gap between their pressures closes by the film model, dp/dt = (p of the liquid - p) / lag
 * (W. G. Whitman, Chem. Metall. Eng. 29 (1923) 146, from memory). Sizes are ours, chosen to span the eight vessels of
 * fixtures/bench, whose noise-free courses fit lags of 0.3 to 8 h, a leak that takes 60 h to empty its headspace, and
 * warm-ups of 8 h (19 L) and 16 h (50 L).
 */
import type { Dice } from './dice.ts';

export const vesselEvents = [
  'hold',
  'diurnal',
  'dispense',
  'dispense_nogas',
  'leak',
  'warmup',
  'force_carb',
  'spunding',
  'vented',
  'referment',
  'blocked_vent',
  'relief',
] as const;

export type VesselEvent = (typeof vesselEvents)[number];

type VesselRow = {
  readonly time: number;
  readonly kilopascal: number;
  readonly temperature: number;
};

export type VesselCase = {
  readonly event: VesselEvent;
  readonly kind: 'keg' | 'tank' | 'fermenter';
  readonly volumeLitre: number;
  readonly headspaceShare: number;
  readonly volumesAtStart: number | null;
  readonly ratedKilopascal: number;
  readonly reliefKilopascal: number | null;
  readonly gasConnected: boolean;
  readonly quiet: boolean;
  /** Hours since the start. */
  readonly onset: number | null;
  readonly crossing: number | null;
  readonly hours: number;
  readonly samplingMinutes: number;
  readonly rows: readonly VesselRow[];
};

const gasConstant = 8.314;
const air = 101.325;
const stepHours = 1 / 12;

/** Dissolved moles per litre and kilopascal. */
const solubility = (celsius: number): number =>
  3.4e-4 * 0.95 * Math.exp(2400 * (1 / (celsius + 273.15) - 1 / 298.15));

export const vesselCase = (roll: Dice, event: VesselEvent, start: number): VesselCase => {
  const fermenting = event === 'spunding' || event === 'vented' || event === 'blocked_vent';
  const kind = fermenting ? 'fermenter' : roll.chance(0.75) ? 'keg' : 'tank';
  const volume =
    kind === 'keg'
      ? roll.pick([9.5, 19, 20, 30, 50])
      : kind === 'tank'
        ? roll.pick([100, 300, 500])
        : roll.pick([60, 300, 1000]);
  const share = kind === 'fermenter' ? roll.uniform(0.1, 0.3) : roll.uniform(0.05, 0.45);
  const cold =
    event === 'referment'
      ? roll.uniform(14, 24)
      : fermenting
        ? roll.uniform(12, 21)
        : roll.uniform(1.5, 7);
  const onset =
    event === 'hold' || event === 'vented' || event === 'diurnal' ? null : roll.uniform(10, 60);
  const at = onset ?? 0;
  const volumes = roll.uniform(1.9, 2.9);
  const hours =
    event === 'warmup'
      ? at + roll.uniform(35, 80)
      : event === 'blocked_vent'
        ? at + roll.uniform(20, 45)
        : event === 'referment'
          ? at + 150
          : roll.uniform(90, 190);
  const samplingMinutes = roll.pick([2, 5, 15, 15, 60, 60]);

  let liquid = volume * (1 - share);
  let gas = volume * share;
  let celsius = cold;
  const inGas = (): number => gas / (gasConstant * (celsius + 273.15));
  const inLiquid = (): number => solubility(celsius) * liquid;
  const molesAt = (gauge: number): number => (gauge + air) * (inLiquid() + inGas());
  // A volume is 0.0446 mol per litre of drink.
  const content = volumes * 0.0446 * liquid;
  let moles = fermenting ? molesAt(roll.uniform(0.5, 3)) : content * (1 + inGas() / inLiquid());
  const rest = (): number => moles / (inLiquid() + inGas()) - air;
  let pressure = rest();
  const startPressure = pressure;
  const startMoles = moles;

  const room = roll.uniform(13, 29);
  const warmTau = roll.uniform(6, 12.5) * (volume / 20) ** (1 / 3);
  const swing = event === 'diurnal' ? roll.uniform(1, 5) : roll.uniform(0.02, 0.4);
  const phase = roll.uniform(0, 6.3);
  // A fermenter is stirred by its own bubbles.
  const lag = fermenting ? roll.uniform(0.15, 0.5) : 0.3 * (8 / 0.3) ** roll.uniform(0, 1);
  const extra = roll.uniform(0.12, 0.5) * (event === 'relief' ? 0.7 : 1);
  const slow = roll.uniform(30, 80);
  // Hours in which a hole would empty drink and headspace, and the headspace alone if the drink did not refill it.
  const emptying = 60 * (300 / 60) ** roll.uniform(0, 1);
  const leakTau = Math.max(20, emptying / (1 + inLiquid() / inGas()));
  const opens = roll.uniform(9, 18);
  const closes = roll.uniform(20, 24);
  // Chance of a pour in each step.
  const thirst = roll.uniform(0.02, 0.1);
  const sealed = roll.uniform(2, 14);
  const set = startPressure * (event === 'force_carb' ? roll.uniform(1.3, 2.2) : 1);
  const gasConnected = event === 'dispense' || (event === 'force_carb' && roll.chance(0.7));
  const relief =
    event === 'relief'
      ? startPressure * roll.uniform(1.15, 1.6)
      : event === 'spunding'
        ? roll.uniform(50, 130)
        : null;
  const truth: number[] = [];
  const temperatures: number[] = [];
  const steps = Math.ceil(hours / stepHours);
  let worked = 0;
  for (let step = 0; step < steps; step += 1) {
    const hour = step * stepHours;
    const wave = swing * Math.sin((2 * Math.PI * hour) / 24 + phase);
    const base =
      event === 'warmup' && hour > at
        ? room + (cold - room) * Math.exp(-(hour - at) / warmTau)
        : cold;
    const before = celsius;
    celsius = base + wave;
    pressure = ((pressure + air) * (celsius + 273.15)) / (before + 273.15) - air;
    if (event === 'referment' || event === 'relief') {
      const done = worked;
      if (hour > at) worked = extra * (1 - Math.exp(-(hour - at) / slow));
      moles += startMoles * (worked - done);
    }
    if (event === 'leak' && hour > at) {
      const lost = (pressure * stepHours) / leakTau;
      pressure -= lost;
      moles -= lost * inGas();
    }
    const activity = Math.exp(-(((hour - 40) / 45) ** 2));
    const open = event === 'vented' || (event === 'blocked_vent' && hour < at);
    const brewing = activityOf(event, activity) * sealed * (inGas() + inLiquid());
    if (open) {
      // What yeast makes passes through the headspace, driven by a drink that holds more than is at rest.
      pressure = 1 + 9 * activity;
      moles = molesAt(pressure) + (brewing * lag * inLiquid()) / inGas();
    } else if ((event === 'blocked_vent' || event === 'spunding') && hour > at)
      moles += brewing * stepHours;
    if (event === 'dispense' || event === 'dispense_nogas') {
      const day = hour % 24;
      const flows = liquid > 0.2 * volume && pressure > 5;
      if (hour > at && day > opens && day < closes && flows && roll.chance(thirst)) {
        const pour = Math.min(liquid * 0.1, roll.uniform(0.2, 0.6) * Math.max(1, volume / 50));
        moles -= ((moles - (pressure + air) * inGas()) * pour) / liquid;
        pressure = ((pressure + air) * gas) / (gas + pour) - air;
        liquid -= pour;
        gas += pour;
      }
    }
    if (!open) {
      const settled = Math.exp((-stepHours / lag) * (1 + inGas() / inLiquid()));
      pressure = rest() + (pressure - rest()) * settled;
    }
    const supplied = gasConnected
      ? hour > (event === 'force_carb' ? at : 0)
      : event === 'force_carb' && hour > at && hour < at + 1;
    if (supplied && pressure < set) {
      moles += (set - pressure) * inGas();
      pressure = set;
    }
    if (relief !== null && pressure > relief) {
      moles -= (pressure - relief * 0.93) * inGas();
      pressure = relief * 0.93;
    }
    truth.push(pressure);
    temperatures.push(celsius);
  }
  const peak = truth.reduce((most, value) => Math.max(most, value), 0);
  const crosses =
    ['warmup', 'referment', 'blocked_vent'].includes(event) &&
    roll.chance(0.8) &&
    peak > 1.15 * startPressure + 10;
  const rated = crosses
    ? Math.max(startPressure * 1.12, peak * roll.uniform(0.6, 0.97))
    : relief !== null
      ? relief * roll.uniform(1.2, 1.9)
      : Math.max(40, peak * roll.uniform(1.12, 2.2));
  const crossingStep = truth.findIndex((value) => value >= rated);
  const crossing = crossingStep < 0 ? null : crossingStep * stepHours;
  const end = crossing === null || event !== 'blocked_vent' ? hours : Math.min(hours, crossing + 4);

  // Gauges of the bench read between 2.6 % low and 4 % high, and up to 2 kPa beside zero.
  const noise = roll.uniform(0.3, 2);
  const gain = roll.normal(1, 0.02);
  const offset = roll.normal(0, 1.3);
  const temperatureNoise = roll.uniform(0.05, 0.2);
  const outages = Array.from({ length: Math.floor(roll.uniform(0, 3)) }, () => {
    const from = roll.uniform(5, end);
    return [from, from + roll.uniform(0.5, 3)] as const;
  });
  const made: { arrives: number; row: VesselRow }[] = [];
  for (let hour = 0; hour < end; hour += samplingMinutes / 60) {
    if (outages.some(([from, to]) => hour > from && hour < to) || roll.chance(0.01)) continue;
    const step = Math.min(truth.length - 1, Math.round(hour / stepHours));
    const wild = roll.chance(0.001) ? roll.normal(0, 100) : 0;
    const row = {
      time: Math.round(start + hour * 3600),
      kilopascal: (truth[step] ?? 0) * gain + offset + wild + roll.normal(0, noise),
      temperature: (temperatures[step] ?? 0) + roll.normal(0, temperatureNoise),
    };
    made.push({ arrives: hour + (roll.chance(0.01) ? roll.uniform(0.1, 2) : 0), row });
    if (roll.chance(0.004)) made.push({ arrives: hour + roll.uniform(0, 1), row });
  }
  made.sort((a, b) => a.arrives - b.arrives);
  return {
    event,
    kind,
    volumeLitre: volume,
    headspaceShare: share,
    volumesAtStart: fermenting ? null : volumes * roll.normal(1, 0.03),
    ratedKilopascal: rated,
    reliefKilopascal: relief ?? (roll.chance(0.25) ? rated * 1.06 : null),
    gasConnected,
    quiet: !['warmup', 'referment', 'blocked_vent', 'relief'].includes(event),
    onset,
    crossing: crossing !== null && crossing < end ? crossing : null,
    hours: end,
    samplingMinutes,
    rows: made.map(({ row }) => row),
  };
};

/** Yeast in a vessel whose vent is blocked goes on to the end; one that spunds comes to rest. */
const activityOf = (event: VesselEvent, activity: number): number =>
  event === 'spunding' ? activity : 0.4 + 0.6 * activity;
