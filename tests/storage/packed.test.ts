/**
 * Packed readings give back every bit. The first properties know nothing of the format: they write,
 * read and compare; the last tests hold the sizes that the storage goal rests on.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ByteReader } from '../../src/storage/packed/byte-reader.ts';
import { ByteWriter } from '../../src/storage/packed/byte-writer.ts';
import { readColumn, writeColumn } from '../../src/storage/packed/column.ts';
import {
  cutPoints,
  packPoints,
  readPoints,
  unpackPoints,
  writePoints,
} from '../../src/storage/packed/points.ts';

const packed = (values: readonly number[]): Uint8Array => {
  const writer = new ByteWriter();
  writeColumn(writer, Float64Array.from(values));
  return writer.finish();
};

/** Object.is on each number: the sign of zero counts, and nothing is close enough. */
const expectExact = (values: readonly number[]): void => {
  const reader = new ByteReader(packed(values));
  const read = [...readColumn(reader, values.length)];
  expect(read.length).toBe(values.length);
  const wrong = values.findIndex((value, index) => !Object.is(value, read[index]));
  expect(wrong < 0 ? 'exact' : `${values[wrong]} came back as ${read[wrong]}`).toBe('exact');
  expect(reader.atEnd).toBe(true);
};

const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
const decimal = fc
  .tuple(fc.integer({ min: -2_000_000_000, max: 2_000_000_000 }), fc.integer({ min: 0, max: 12 }))
  .map(([whole, digits]) => Number(`${whole}e-${digits}`));
/** Decimals of one scale, as one sensor gives them, with a stranger among them now and then. */
const sensor = fc.integer({ min: 0, max: 6 }).chain((digits) =>
  fc.array(
    fc.oneof(
      {
        weight: 20,
        arbitrary: fc
          .integer({ min: -100_000, max: 100_000 })
          .map((whole) => Number(`${whole}e-${digits}`)),
      },
      { weight: 1, arbitrary: finite },
    ),
    { maxLength: 200 },
  ),
);
const huge = fc.constantFrom(
  0,
  -0,
  2 ** 50,
  2 ** 51,
  2 ** 52,
  2 ** 52 + 1,
  2 ** 53 - 1,
  2 ** 53,
  Number.MAX_VALUE,
  Number.MIN_VALUE,
  1e22,
  1e23,
  5e-324,
  0.1 + 0.2,
);
const signed = fc.tuple(huge, fc.boolean()).map(([value, minus]) => (minus ? -value : value));
/** Times as clocks give them: steady, jittering, with fractions, in any order of magnitude. */
const clockTimes = fc
  .record({
    start: fc.integer({ min: 946_684_800, max: 4_000_000_000 }),
    digits: fc.constantFrom(0, 1, 3, 6, 7, 9),
    steps: fc.array(fc.double({ min: 0, max: 4000, noNaN: true }), { maxLength: 100 }),
  })
  .map(({ start, digits, steps }) => {
    let time = start;
    return steps.map((step) => {
      time = Number((time + step).toFixed(digits));
      return time;
    });
  });

describe('a column comes back bit for bit', () => {
  test.each([
    ['any finite doubles', fc.array(finite, { maxLength: 300 })],
    ['decimals of any scale', fc.array(decimal, { maxLength: 300 })],
    ['the decimals of a sensor', sensor],
    ['the bounds of whole numbers', fc.array(signed, { maxLength: 40 })],
    ['the times of a clock', clockTimes],
    [
      'runs of equal numbers',
      fc
        .array(fc.tuple(decimal, fc.integer({ min: 1, max: 40 })), { maxLength: 12 })
        .map((runs) => runs.flatMap(([value, count]) => new Array<number>(count).fill(value))),
    ],
    [
      'numbers of single precision',
      fc.array(fc.float({ noNaN: true, noDefaultInfinity: true }), { maxLength: 200 }),
    ],
  ] as const)('%s', (_name, arbitrary) => {
    fc.assert(fc.property(arbitrary as fc.Arbitrary<number[]>, expectExact), { numRuns: 300 });
  });
});

test('points follow one another in one body, and each series comes back', () => {
  const points = fc.array(fc.tuple(clockTimes, finite), { maxLength: 5 });
  fc.assert(
    fc.property(points, (series) => {
      const writer = new ByteWriter();
      const all = series.map(([times, value]) => ({
        times: Float64Array.from(times),
        values: Float64Array.from(times, (_, index) => value + index),
      }));
      for (const one of all) writePoints(writer, one);
      const reader = new ByteReader(writer.finish());
      for (const one of all) expect(readPoints(reader)).toEqual(one);
      expect(reader.atEnd).toBe(true);
    }),
  );
});

test('a body that ends early is refused, not read as something else', () => {
  const body = packPoints({
    times: Float64Array.from([1, 2, 4, 7]),
    values: Float64Array.from([1.5, 2.25, Math.PI, -3]),
  });
  for (let length = 0; length < body.length; length += 1)
    expect(() => unpackPoints(body.slice(0, length).buffer)).toThrow(RangeError);
});

test('cutting keeps every point, in pieces no longer than asked', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 3000 }), fc.integer({ min: 1, max: 400 }), (n, most) => {
      const times = Float64Array.from({ length: n }, (_, index) => index);
      const pieces = cutPoints({ times, values: times }, most);
      expect(pieces.flatMap((piece) => [...piece.times])).toEqual([...times]);
      for (const piece of pieces) {
        expect(piece.times.length).toBeLessThanOrEqual(most);
        expect(piece.times.length).toBeGreaterThan(0);
      }
    }),
  );
});

describe('size', () => {
  const minutes = Float64Array.from({ length: 360 }, (_, index) => 1_900_000_000 + 60 * index);
  const bytesEach = (values: Float64Array, times = minutes): number =>
    packPoints({ times, values }).length / values.length;
  const wavy = (digits: number): Float64Array =>
    Float64Array.from({ length: 360 }, (_, index) =>
      Number((19 + 0.6 * Math.sin(index / 30) + 0.02 * Math.sin(index * 99)).toFixed(digits)),
    );

  test('a steady clock costs next to nothing', () => {
    expect(bytesEach(new Float64Array(360))).toBeLessThan(0.05);
  });

  test('a sensor of two decimals costs a byte a reading', () => {
    expect(bytesEach(wavy(2))).toBeLessThan(1.1);
  });

  test('one strange value does not spoil its neighbours', () => {
    const values = wavy(2);
    values[100] = Math.PI;
    expect(bytesEach(values)).toBeLessThan(1.2);
  });

  test('values of single precision cost about half of a double', () => {
    expect(bytesEach(Float64Array.from(wavy(4), Math.fround))).toBeLessThan(4.5);
  });

  test('values with noise in every bit stay under eight bytes', () => {
    const values = Float64Array.from(wavy(4), (value, index) => value + Math.sqrt(index) * 1e-9);
    expect(bytesEach(values)).toBeLessThan(7.5);
  });

  test('a clock that jitters by milliseconds costs two bytes a reading', () => {
    const times = minutes.map((time, index) =>
      Number((time + Math.abs(Math.sin(index * 7))).toFixed(3)),
    );
    expect(bytesEach(new Float64Array(360), times)).toBeLessThan(2.3);
  });
});
