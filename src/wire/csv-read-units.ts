/**
 * The units in which a column of CSV may carry a channel, as the trade writes them, and their conversion to the unit
 * in which the channel is stored. Factors and scales are those of science/units/convert.ts.
 *
 * Left out on purpose: "°Bx" for gravity, because a refractometer reads it and alcohol falsifies what a refractometer
 * reads; a hydrometer's scale says so. Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Channel, channels } from '../science/units/channel.ts';
import {
  convert,
  convertGravity,
  type GravityUnit,
  isUnitOf,
  type Quantity,
  unitsOf,
} from '../science/units/convert.ts';

export type CsvUnit = {
  /** As shown to people. */
  readonly symbol: string;
  /** A value in this unit as the channel stores it; null outside the range of the conversion. */
  readonly toStored: (value: number) => number | null;
  /** What the channel stores, in this unit; null outside the range of the conversion. */
  readonly fromStored: (stored: number) => number | null;
};

/** Spellings beside the symbol itself, as they stand on instruments and in spreadsheets. */
const spellings: Readonly<Record<string, readonly string[]>> = {
  '°C': ['C', 'degC', 'deg C', 'Cel'],
  '°F': ['F', 'degF', 'deg F'],
  '°P': ['P', 'degP', 'deg P', 'Plato'],
  '°Oe': ['Oe', 'degOe'],
  '°Bx hydrometer': ['Bx hydrometer', 'Brix hydrometer'],
  SG: ['SG 20/20'],
  bar: ['barg', 'bar(g)', 'bar g', 'bar gauge'],
  psi: ['psig', 'psi(g)', 'psi g', 'psi gauge', 'lb/in²'],
  kPa: ['kPa(g)', 'kPag', 'kPa gauge'],
  'm3/s': ['m³/s'],
  'kg/m3': ['kg/m³'],
  'g/mL': ['g/cm3', 'g/cm³'],
  '% vol': ['vol%', 'vol %', '%vol', '% by volume'],
  '%RH': ['% RH', '%'],
};

const absoluteSpellings: Readonly<Record<string, readonly string[]>> = {
  bar: ['bara', 'bar(a)', 'bar a', 'bar abs'],
  psi: ['psia', 'psi(a)', 'psi a', 'psi abs'],
  kPa: ['kPa(a)', 'kPaa', 'kPa abs'],
};

/** Hides the noise of binary arithmetic as channel-units.ts does, and for the same reason. */
const rounded = (value: number, offset: boolean): number =>
  (offset ? Number(value.toFixed(9)) : Number(value.toPrecision(12))) + 0;

const inQuantity = <Q extends Quantity>(quantity: Q, stored: string): readonly CsvUnit[] =>
  unitsOf(quantity).map((symbol) => {
    const turn = (value: number, from: string, to: string): number | null => {
      if (from === to) return value;
      if (!isUnitOf(quantity, from) || !isUnitOf(quantity, to)) return null;
      const turned = convert(quantity, value, from, to);
      return turned.ok ? rounded(turned.value, quantity === 'temperature') : null;
    };
    return {
      symbol,
      toStored: (value) => turn(value, symbol, stored),
      fromStored: (value) => turn(value, stored, symbol),
    };
  });

const gravityUnit = (unit: GravityUnit, symbol: string): CsvUnit => {
  const turn = (value: number, from: GravityUnit, to: GravityUnit): number | null => {
    if (from === to) return value;
    const turned = convertGravity(value, from, to);
    return turned.ok ? rounded(turned.value, false) : null;
  };
  return {
    symbol,
    toStored: (value) => turn(value, unit, 'SG'),
    fromStored: (value) => turn(value, 'SG', unit),
  };
};

const times = (symbol: string, factor: number): CsvUnit => ({
  symbol,
  toStored: (value) => rounded(value * factor, false),
  fromStored: (value) => rounded(value / factor, false),
});

const units: Readonly<Record<Channel, readonly CsvUnit[]>> = {
  temperature: inQuantity('temperature', '°C'),
  gravity: [
    ...(['SG', '°P', 'points', '°Oe'] as const).map((unit) => gravityUnit(unit, unit)),
    gravityUnit('°Bx', '°Bx hydrometer'),
  ],
  density: inQuantity('density', 'kg/m3'),
  'gauge-pressure': inQuantity('pressure', 'Pa'),
  'absolute-pressure': inQuantity('pressure', 'Pa'),
  'gas-flow': inQuantity('gas-flow', 'm3/s'),
  ph: [times('pH', 1)],
  'carbon-dioxide': [times('ppm', 1), times('% vol', 1e4)],
  oxygen: [times('% vol', 1e-2), times('ppm', 1e-6)],
  humidity: [times('%RH', 1)],
  mass: inQuantity('mass', 'kg'),
};

/** The symbols that a channel's column may carry. */
export const csvUnitsOf = (channel: Channel): readonly string[] =>
  units[channel].map(({ symbol }) => symbol);

export type CsvUnitFault =
  | { readonly kind: 'unit-unknown' }
  /** °Bx as of a refractometer. */
  | { readonly kind: 'refractometer' }
  /** The unit says gauge where the column says absolute, or the other way about. */
  | { readonly kind: 'pressure-kind'; readonly unitSays: 'gauge' | 'absolute' };

/** The unit of a channel that a heading names. */
export const csvUnit = (channel: Channel, text: string): Result<CsvUnit, CsvUnitFault> => {
  const isAbsolute = channel === 'absolute-pressure';
  const isPressure = isAbsolute || channel === 'gauge-pressure';
  const named = (beside: typeof spellings): CsvUnit | undefined =>
    units[channel].find(({ symbol }) => isSpelt(text, [symbol, ...(beside[symbol] ?? [])]));
  const found = named(isAbsolute ? absoluteSpellings : spellings);
  if (found !== undefined) return ok(found);
  if (channel === 'gravity' && /^(?:°|deg ?)?(?:Bx|Brix)$/i.test(text)) {
    return fail({ kind: 'refractometer' });
  }
  if (isPressure && named(isAbsolute ? spellings : absoluteSpellings) !== undefined) {
    return fail({ kind: 'pressure-kind', unitSays: isAbsolute ? 'gauge' : 'absolute' });
  }
  return fail({ kind: 'unit-unknown' });
};

/** Capitals tell no two units of one channel apart: "PSI" and "Kpa" are what they seem. */
const isSpelt = (text: string, known: readonly string[]): boolean =>
  known.some((spelling) => spelling.toLowerCase() === text.toLowerCase());

export type CsvBounds = { readonly lowest: number; readonly highest: number };

/** A value as the channel stores it, or the bounds that it breaks, in the unit it came in. */
export const csvStored = (
  channel: Channel,
  unit: CsvUnit,
  value: number,
): Result<number, CsvBounds> => {
  const { lowest, highest } = channels[channel];
  const stored = unit.toStored(value);
  if (stored !== null && stored >= lowest && stored <= highest) return ok(stored);
  return fail({
    lowest: unit.fromStored(lowest) ?? edge(unit, lowest, highest),
    highest: unit.fromStored(highest) ?? edge(unit, highest, lowest),
  });
};

/** Where a conversion ends short of a bound: the last stored value towards it that can be said in the unit. */
const edge = (unit: CsvUnit, bound: number, inside: number): number => {
  let good = (bound + inside) / 2;
  let bad = bound;
  for (let round = 0; round < 40; round += 1) {
    const middle = (good + bad) / 2;
    if (unit.fromStored(middle) === null) bad = middle;
    else good = middle;
  }
  return Number((unit.fromStored(good) ?? 0).toPrecision(4));
};
