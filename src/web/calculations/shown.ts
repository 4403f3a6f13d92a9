/**
 * Numbers of a calculation as the page writes them: in the trade's unit, with the digits that its figure
 * bears. Also the example that fills a form. Pure: no I/O, no clock, no randomness.
 */
import { numberText } from '../pages/quantity.ts';
import { type Field, type Fields, typedName, typedUnit, type Unit } from './field.ts';
import type { Decimals } from './figure.ts';
import { convertMeasure } from './measure.ts';

const joint = '\u00a0';

/** A stored value in the unit that people type and read; unchanged where that cannot be said in it. */
const inTypedUnit = (stored: number, unit: Unit): number => {
  if (unit.measure === undefined) return stored;
  const shown = convertMeasure(unit.measure, stored, unit.unit, typedUnit(unit));
  return shown.ok ? shown.value : stored;
};

/** Units are stored in plain letters; in print a cube is a cube. */
export const unitText = (unit: string): string => unit.replace('m3', 'm³');

/** Running text whose numbers do not part from their units at a line's end. */
export const prose = (text: string): string =>
  unitText(text).replaceAll(
    /(\d) (?=(?:%|°|bar|g|mg|kg|kJ|mL|L|h|K|ppm|psi|h?Pa|m|minutes)(?![a-z]))/g,
    `$1${joint}`,
  );

const sevenDigits = (value: number): string => {
  const size = value === 0 ? 0 : Math.floor(Math.log10(Math.abs(value)));
  const text = numberText(value, Math.min(12, Math.max(0, 6 - size)));
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
};

/** The bare figure, in the unit shown. */
export const figureText = (stored: number, unit: Unit, decimals: Decimals): string => {
  const shown = inTypedUnit(stored, unit);
  return decimals === 'seven-digits' ? sevenDigits(shown) : numberText(shown, decimals);
};

export const figureUnit = (unit: Unit): string => unitText(typedUnit(unit));

export const figureWithUnit = (stored: number, unit: Unit, decimals: Decimals): string => {
  const text = figureText(stored, unit, decimals);
  const shownUnit = figureUnit(unit);
  return shownUnit === '' ? text : `${text}${joint}${shownUnit}`;
};

/** As a person would type it: six digits at most, a plain point; a gravity to the point at least. */
export const typedNumber = (stored: number, unit: Unit): string => {
  const text = String(Number(inTypedUnit(stored, unit).toPrecision(6)));
  return typedUnit(unit) === 'SG' && text.length < 5 ? Number(text).toFixed(3) : text;
};

const typedExample = (field: Field, example: string | number): string =>
  field.kind === 'number' && typeof example === 'number'
    ? typedNumber(example, field)
    : String(example);

/** The query that fills the form with the example. */
export const exampleQuery = (inputs: Fields): string => {
  const query = new URLSearchParams();
  for (const [name, field] of Object.entries(inputs)) {
    if (field.kind === 'rows') {
      for (const [row, example] of field.example.entries()) {
        for (const [own, cell] of Object.entries(example)) {
          const ownField = field.fields[own];
          if (ownField !== undefined)
            query.set(`${name}.${row}.${typedName(own, ownField)}`, typedExample(ownField, cell));
        }
      }
    } else if (field.example !== undefined && field.example !== null) {
      query.set(typedName(name, field), typedExample(field, field.example));
    }
  }
  return query.toString();
};
