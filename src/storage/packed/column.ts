/**
 * A column of numbers as bytes and back, exactly: as decimals where that is shorter, else bit by bit.
 * The head byte names the form: 0 is bit by bit, any other a scale and order of decimals.
 * A form that was once written stays readable for ever. Pure: no I/O, no clock.
 */
import type { ByteReader } from './byte-reader.ts';
import { ByteWriter } from './byte-writer.ts';
import { readDecimals, writeDecimals } from './decimal-column.ts';
import { readDoubles, writeDoubles } from './double-column.ts';

const bitByBit = 0;

/**
 * Decimals of more bytes than this per number may be longer than the plain form. Chosen by us: bit by
 * bit takes two bytes or more for any number that changes.
 */
const surelyShortBytes = 2;

export const writeColumn = (writer: ByteWriter, values: Float64Array): void => {
  const decimals = writeDecimals(values);
  if (decimals !== null && decimals.length <= surelyShortBytes * values.length) {
    writer.append(decimals.finish());
    return;
  }
  const plain = new ByteWriter();
  plain.byte(bitByBit);
  writeDoubles(plain, values);
  const shorter = decimals !== null && decimals.length <= plain.length;
  writer.append((shorter ? decimals : plain).finish());
};

export const readColumn = (reader: ByteReader, count: number): Float64Array => {
  const head = reader.byte();
  return head === bitByBit ? readDoubles(reader, count) : readDecimals(reader, head, count);
};
