/** One calculation for each quantity that the trade measures in several units, made from the table of units. */
import { ok, type Result } from '../../result.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { convert, type Quantity, unitsOf } from '../../science/units/convert.ts';
import { type Calculation, calculation } from './calculation.ts';
import { choice, given } from './field.ts';
import { located } from './located.ts';
import { factors, volumeOfGas } from './source.ts';

const described = {
  temperature: { title: 'Temperature', example: 68, unit: '°F' },
  pressure: { title: 'Pressure', example: 15, unit: 'psi' },
  volume: { title: 'Volume', example: 7, unit: 'US bbl' },
  mass: { title: 'Mass', example: 55, unit: 'lb' },
  carbonation: { title: 'Carbonation', example: 2.5, unit: 'volumes' },
  'gas-flow': { title: 'Gas flow', example: 250, unit: 'L/h' },
  concentration: { title: 'Concentration', example: 3, unit: 'g/hL' },
  density: { title: 'Density', example: 1.0464, unit: 'g/mL' },
} as const satisfies Record<
  Quantity,
  { readonly title: string; readonly example: number; readonly unit: string }
>;

type Row = { readonly unit: string; readonly value: number };

const inEveryUnit = <Q extends Quantity>(
  quantity: Q,
  value: number,
  from: string,
): Result<readonly Row[], ScienceFault> => {
  const units = unitsOf(quantity);
  const known = units.find((unit) => unit === from);
  const rows: Row[] = [];
  for (const unit of units) {
    const converted = convert(quantity, value, known ?? unit, unit);
    if (!converted.ok) return converted;
    rows.push({ unit, value: converted.value });
  }
  return ok(rows);
};

const conversion = (quantity: Quantity): Calculation => {
  const { title, example, unit } = described[quantity];
  const units = unitsOf(quantity);
  return calculation({
    name: `convert-${quantity}`,
    title,
    purpose: `Between ${units.slice(0, -1).join(', ')} and ${units.at(-1) ?? ''}.`,
    inputs: {
      value: given({ label: 'Value', unit: '', example }),
      from: choice({
        label: 'Unit',
        options: Object.fromEntries(units.map((one) => [one, one])),
        example: unit,
      }),
    },
    answers: {
      values: {
        kind: 'table',
        label: `The same ${title.toLowerCase()}`,
        columns: {
          value: { kind: 'number', label: 'Value', unit: '', decimals: 'seven-digits' },
          unit: { kind: 'name', label: 'Unit' },
        },
        sources: quantity === 'carbonation' ? [volumeOfGas] : [factors],
      },
    },
    work: ({ value, from }) => {
      const rows = located(inEveryUnit(quantity, value, from), { [quantity]: 'value' });
      return rows.ok ? ok({ values: rows.value }) : rows;
    },
  });
};

export const conversions: readonly Calculation[] = (Object.keys(described) as Quantity[]).map(
  conversion,
);
