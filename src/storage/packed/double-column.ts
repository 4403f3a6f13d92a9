/**
 * Numbers of any kind, bit for bit: each is written as the bytes in which it differs from the one
 * before, with a byte that counts equal bytes at both ends. Numbers near each other share sign,
 * exponent and leading digits; numbers that were single precision once end in zeros.
 * The idea of keeping differences of bits is that of T. Pelkonen et al., "Gorilla: A Fast, Scalable,
 * In-Memory Time Series Database", Proc. VLDB Endow. 8 (12), 2015, section 4.1.2; whole bytes instead
 * of bits are ours. Pure: no I/O, no clock.
 */
import type { ByteReader } from './byte-reader.ts';
import type { ByteWriter } from './byte-writer.ts';

const width = 8;

export const writeDoubles = (writer: ByteWriter, values: Float64Array): void => {
  const bytes = new Uint8Array(width);
  const view = new DataView(bytes.buffer);
  let high = 0;
  let low = 0;
  for (const value of values) {
    view.setFloat64(0, value);
    const ownHigh = view.getUint32(0);
    const ownLow = view.getUint32(4);
    view.setUint32(0, ownHigh ^ high);
    view.setUint32(4, ownLow ^ low);
    high = ownHigh;
    low = ownLow;
    let begin = 0;
    while (begin < width && bytes[begin] === 0) begin += 1;
    let end = width;
    while (end > begin && bytes[end - 1] === 0) end -= 1;
    writer.byte((begin << 4) | (width - end));
    for (let index = begin; index < end; index += 1) writer.byte(bytes[index] ?? 0);
  }
};

export const readDoubles = (reader: ByteReader, count: number): Float64Array => {
  const values = new Float64Array(count);
  const bytes = new Uint8Array(width);
  const view = new DataView(bytes.buffer);
  for (let place = 0; place < count; place += 1) {
    const ends = reader.byte();
    const end = width - (ends & 0xf);
    for (let index = ends >> 4; index < end; index += 1)
      bytes[index] = (bytes[index] ?? 0) ^ reader.byte();
    values[place] = view.getFloat64(0);
  }
  return values;
};
