/**
 * Trade units at the edge: what a person types or a logger's column says, to what is stored, and back.
 *
 * Factors: BIPM SI brochure (2019) and NIST Special Publication 811 (2008), appendix B; they are exact by
 * definition but for mmHg. A pressure keeps its kind: gauge stays gauge, absolute stays absolute
 * (`gauge.ts` changes one into the other). Gravity and extract go through the ASBC cubic (gravity.ts) and
 * the NBS table (brix.ts). Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../../result.ts';
import { brixFromGravity, gravityFromBrix } from '../brix.ts';
import { gramPerLitrePerVolume } from '../carbonation.ts';
import { firstOutside, type ScienceFault } from '../fault.ts';
import { extractFromGravity, gravityFromExtract } from '../gravity.ts';

/** value in the base unit = value x factor + offset; the first unit of each is the base. */
type Scale = { readonly factor: number; readonly offset?: number };

const litrePerUsGallon = 3.785411784;
const litrePerImperialGallon = 4.54609;

const scales = {
  temperature: {
    '°C': { factor: 1 },
    '°F': { factor: 5 / 9, offset: (-32 * 5) / 9 },
    K: { factor: 1, offset: -273.15 },
  },
  pressure: {
    Pa: { factor: 1 },
    hPa: { factor: 100 },
    kPa: { factor: 1000 },
    MPa: { factor: 1e6 },
    mbar: { factor: 100 },
    bar: { factor: 1e5 },
    atm: { factor: 101_325 },
    psi: { factor: 6894.757293168361 },
    mmHg: { factor: 133.322387415 },
  },
  volume: {
    L: { factor: 1 },
    mL: { factor: 1e-3 },
    hL: { factor: 100 },
    m3: { factor: 1000 },
    'US gal': { factor: litrePerUsGallon },
    'imp gal': { factor: litrePerImperialGallon },
    /** 31 US gallons. */
    'US bbl': { factor: 31 * litrePerUsGallon },
    /** 36 imperial gallons. */
    'imp bbl': { factor: 36 * litrePerImperialGallon },
  },
  mass: {
    kg: { factor: 1 },
    g: { factor: 1e-3 },
    mg: { factor: 1e-6 },
    lb: { factor: 0.45359237 },
    oz: { factor: 0.028349523125 },
  },
  carbonation: {
    'g/L': { factor: 1 },
    volumes: { factor: gramPerLitrePerVolume },
  },
  'gas-flow': {
    'm3/s': { factor: 1 },
    'L/h': { factor: 1e-3 / 3600 },
    'L/min': { factor: 1e-3 / 60 },
    'mL/min': { factor: 1e-6 / 60 },
  },
  concentration: {
    'g/L': { factor: 1 },
    'mg/L': { factor: 1e-3 },
    'kg/hL': { factor: 10 },
    'g/hL': { factor: 1e-2 },
    'g/100 mL': { factor: 10 },
  },
  density: {
    'kg/m3': { factor: 1 },
    'g/mL': { factor: 1000 },
    'kg/L': { factor: 1000 },
  },
} as const satisfies Readonly<Record<string, Readonly<Record<string, Scale>>>>;

export type Quantity = keyof typeof scales;
export type UnitOf<Q extends Quantity> = keyof (typeof scales)[Q] & string;

/** Every unit of a quantity, the base first. */
export const unitsOf = <Q extends Quantity>(quantity: Q): readonly UnitOf<Q>[] =>
  Object.keys(scales[quantity]) as UnitOf<Q>[];

export const isUnitOf = <Q extends Quantity>(quantity: Q, unit: string): unit is UnitOf<Q> =>
  Object.hasOwn(scales[quantity], unit);

/** A value in one unit of a quantity as a value in another. */
export const convert = <Q extends Quantity>(
  quantity: Q,
  value: number,
  from: UnitOf<Q>,
  to: UnitOf<Q>,
): Result<number, ScienceFault> => {
  const units: Readonly<Record<string, Scale>> = scales[quantity];
  const source = units[from];
  const target = units[to];
  if (source === undefined || target === undefined) {
    return fail({
      kind: 'no-solution',
      field: quantity,
      reason: `no unit ${source === undefined ? from : to}; use one of ${Object.keys(units).join(', ')}`,
    });
  }
  const base = value * source.factor + (source.offset ?? 0);
  // No quantity here means anything beyond 1e15; absolute zero bounds a temperature.
  const low = quantity === 'temperature' ? -273.15 : -1e15;
  const fault = firstOutside([[quantity, base, low, 1e15, Object.keys(units)[0] ?? '']]);
  return fault ? fail(fault) : ok((base - (target.offset ?? 0)) / target.factor);
};

/** Ways to state gravity: specific gravity 20/20, thousandths above water, extract, sugar. */
export const gravityUnits = ['SG', 'points', '°Oe', '°P', '°Bx'] as const;
export type GravityUnit = (typeof gravityUnits)[number];

export const isGravityUnit = (unit: string): unit is GravityUnit =>
  gravityUnits.some((known) => known === unit);

const toGravity = (value: number, unit: GravityUnit): Result<number, ScienceFault> => {
  switch (unit) {
    case 'SG':
      return ok(value);
    case 'points':
    case '°Oe':
      return ok(1 + value / 1000);
    case '°P':
      return gravityFromExtract(value);
    case '°Bx':
      return gravityFromBrix(value);
  }
};

/** A gravity in one way of stating it as a value in another. */
export const convertGravity = (
  value: number,
  from: GravityUnit,
  to: GravityUnit,
): Result<number, ScienceFault> => {
  const gravity = toGravity(value, from);
  if (!gravity.ok) return gravity;
  const fault = firstOutside([['gravity', gravity.value, 0.95, 1.25, 'SG 20/20']]);
  if (fault) return fail(fault);
  switch (to) {
    case 'SG':
      return gravity;
    case 'points':
    case '°Oe':
      return ok((gravity.value - 1) * 1000);
    case '°P':
      return extractFromGravity(gravity.value);
    case '°Bx':
      return brixFromGravity(gravity.value);
  }
};
