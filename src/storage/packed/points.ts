/** The points of one channel in order of time, packed into bytes and back without loss. Pure. */
import { ByteReader } from './byte-reader.ts';
import { ByteWriter } from './byte-writer.ts';
import { readColumn, writeColumn } from './column.ts';

/** Two columns of one length; times are Unix seconds, each greater than the one before. */
export type Points = { readonly times: Float64Array; readonly values: Float64Array };

export const noPoints: Points = { times: new Float64Array(0), values: new Float64Array(0) };

export const writePoints = (writer: ByteWriter, { times, values }: Points): void => {
  writer.varint(times.length);
  writeColumn(writer, times);
  writeColumn(writer, values);
};

export const readPoints = (reader: ByteReader): Points => {
  const count = reader.varint();
  return { times: readColumn(reader, count), values: readColumn(reader, count) };
};

export const packPoints = (points: Points): Uint8Array<ArrayBuffer> => {
  const writer = new ByteWriter();
  writePoints(writer, points);
  return writer.finish();
};

export const unpackPoints = (body: ArrayBuffer): Points =>
  readPoints(new ByteReader(new Uint8Array(body)));

export const slicePoints = ({ times, values }: Points, from: number, to?: number): Points => ({
  times: times.subarray(from, to),
  values: values.subarray(from, to),
});

/** Cuts points into pieces of nearly equal length, none longer than `most`. */
export const cutPoints = (points: Points, most: number): readonly Points[] => {
  const { length } = points.times;
  const pieces = Math.ceil(length / most);
  return Array.from({ length: pieces }, (_, piece) =>
    slicePoints(
      points,
      Math.round((piece * length) / pieces),
      Math.round(((piece + 1) * length) / pieces),
    ),
  );
};

/** Joins parts that follow one another in time. */
export const joinPoints = (parts: readonly Points[]): Points => {
  const [only] = parts;
  if (only !== undefined && parts.length === 1) return only;
  const length = parts.reduce((sum, { times }) => sum + times.length, 0);
  const joined = { times: new Float64Array(length), values: new Float64Array(length) };
  let at = 0;
  for (const { times, values } of parts) {
    joined.times.set(times, at);
    joined.values.set(values, at);
    at += times.length;
  }
  return joined;
};
