/**
 * Numbers that were written as decimals, as sensors and clocks give them: whole multiples of one
 * power of ten, kept as differences. A number that is no such multiple is an exception, kept as it
 * stands. The idea of exact decimals with exceptions is that of A. Afroozeh, L. Kuffó and P. Boncz,
 * "ALP: Adaptive Lossless floating-Point Compression", Proc. ACM Manag. Data 1 (4), 2023.
 *
 * Exact, not approximate: n / 10^k is correctly rounded for k up to 22, and a number only counts as
 * decimal if that division gives back its very bits. Pure: no I/O, no clock.
 */
import type { ByteReader } from './byte-reader.ts';
import { ByteWriter } from './byte-writer.ts';

/** 0: distance from the first number, 1: from the one before, 2: from where the last step points. */
const orders = [0, 1, 2] as const;

/** More digits than a sensor or a clock gives; past it a number is cheaper as it stands. */
const mostDigits = 18;
const powersOfTen = Array.from({ length: mostDigits + 1 }, (_, digits) => 10 ** digits);

/**
 * Whole numbers and distances up to here make all sums below exact in a double: it holds microseconds
 * until the year 2112. A number past it is an exception, a distance past it rules the order out.
 */
const largestWhole = 2 ** 52;

/** Share of the numbers that must be decimal at a scale before exceptions are worth a try. */
const usualShare = 0.9;

const exceptionsFlag = 0x80;

/** Negative zero would lose its sign as a whole number, so it counts as an exception. */
const isWhole = (whole: number, power: number, value: number): boolean =>
  Math.abs(whole) <= largestWhole && whole / power === value && !Object.is(value, -0);

/** Digits after the point that give the number back exactly; null where no decimal does. */
const digitsOf = (value: number): number | null => {
  for (let digits = 0; digits <= mostDigits; digits += 1) {
    const power = powersOfTen[digits] ?? Number.NaN;
    const whole = Math.round(value * power);
    if (!(Math.abs(whole) <= largestWhole)) return null;
    if (isWhole(whole, power, value)) return digits;
  }
  return null;
};

/** The scales worth trying: the one that fits all decimals, and the one that fits most of them. */
const scalesOf = (values: Float64Array): readonly number[] => {
  const counts = new Array<number>(mostDigits + 1).fill(0);
  for (const value of values) {
    const digits = digitsOf(value);
    if (digits !== null) counts[digits] = (counts[digits] ?? 0) + 1;
  }
  const all = counts.findLastIndex((count) => count > 0);
  if (all < 0) return [];
  let covered = 0;
  const most = counts.findIndex((count) => {
    covered += count;
    return covered >= usualShare * values.length;
  });
  return most < 0 || most === all ? [all] : [all, most];
};

type Scaled = {
  readonly digits: number;
  readonly wholes: Float64Array;
  readonly exceptions: readonly number[];
};

const scaleTo = (values: Float64Array, digits: number): Scaled => {
  const power = powersOfTen[digits] ?? Number.NaN;
  const wholes = new Float64Array(values.length);
  const exceptions: number[] = [];
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index] ?? 0;
    const whole = Math.round(value * power);
    if (isWhole(whole, power, value)) wholes[index] = whole;
    else {
      exceptions.push(index);
      wholes[index] = wholes[index - 1] ?? 0;
    }
  }
  return { digits, wholes, exceptions };
};

/**
 * A distance is written with its sign in the last bit and then doubled, a run of zeros as its length
 * doubled and one more. False where a distance would not be exact.
 */
const writeDistances = (writer: ByteWriter, wholes: Float64Array, order: number): boolean => {
  let zeros = 0;
  let before = 0;
  let step = 0;
  const first = wholes[0] ?? 0;
  for (let index = 0; index < wholes.length; index += 1) {
    const whole = wholes[index] ?? 0;
    const base = index === 0 ? 0 : order === 0 ? first : order === 1 ? before : before + step;
    const distance = whole - base;
    step = index === 0 ? 0 : whole - before;
    before = whole;
    if (Math.abs(distance) > largestWhole) return false;
    if (distance === 0) {
      zeros += 1;
      continue;
    }
    if (zeros > 0) writer.varint(zeros * 2 + 1);
    zeros = 0;
    writer.varint((distance > 0 ? distance * 2 : -distance * 2 - 1) * 2);
  }
  if (zeros > 0) writer.varint(zeros * 2 + 1);
  return true;
};

const write = (values: Float64Array, scaled: Scaled, order: number): ByteWriter | null => {
  const { digits, wholes, exceptions } = scaled;
  const writer = new ByteWriter();
  writer.byte((1 + digits * orders.length + order) | (exceptions.length > 0 ? exceptionsFlag : 0));
  if (exceptions.length > 0) {
    writer.varint(exceptions.length);
    let before = 0;
    for (const index of exceptions) {
      writer.varint(index - before);
      writer.double(values[index] ?? 0);
      before = index;
    }
  }
  return writeDistances(writer, wholes, order) ? writer : null;
};

/** The shortest way to write these numbers as decimals; null where none of them is one. */
export const writeDecimals = (values: Float64Array): ByteWriter | null => {
  let best: ByteWriter | null = null;
  for (const digits of scalesOf(values)) {
    const scaled = scaleTo(values, digits);
    for (const order of orders) {
      const writer = write(values, scaled, order);
      if (writer !== null && (best === null || writer.length < best.length)) best = writer;
    }
  }
  return best;
};

/** Reads a column whose head byte, never 0, has been read. */
export const readDecimals = (reader: ByteReader, head: number, count: number): Float64Array => {
  const form = (head & ~exceptionsFlag) - 1;
  const order = form % orders.length;
  const power = powersOfTen[Math.floor(form / orders.length)];
  if (power === undefined) throw new RangeError(`packed readings have an unknown form ${head}`);
  const exceptions: (readonly [number, number])[] = [];
  if ((head & exceptionsFlag) !== 0) {
    let index = 0;
    for (let left = reader.varint(); left > 0; left -= 1) {
      index += reader.varint();
      exceptions.push([index, reader.double()]);
    }
  }
  const values = new Float64Array(count);
  let zeros = 0;
  let before = 0;
  let step = 0;
  let first = 0;
  for (let index = 0; index < count; index += 1) {
    let distance = 0;
    if (zeros > 0) zeros -= 1;
    else {
      const token = reader.varint();
      const half = Math.floor(token / 2);
      if (token % 2 === 1) zeros = half - 1;
      else distance = half % 2 === 0 ? half / 2 : -(half + 1) / 2;
    }
    const base = index === 0 ? 0 : order === 0 ? first : order === 1 ? before : before + step;
    const whole = base + distance;
    if (index === 0) first = whole;
    step = index === 0 ? 0 : whole - before;
    before = whole;
    values[index] = whole / power;
  }
  for (const [index, value] of exceptions) values[index] = value;
  return values;
};
