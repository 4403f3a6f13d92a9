/**
 * Inflates a gzip body (RFC 1952) as it arrives. A few kilobytes can inflate to gigabytes, so the body is handed on in
 * slices and never more than one of them is inflated ahead of whoever reads.
 */
import { Refusal } from './fault.ts';

/**
 * Chosen by us. DEFLATE yields at most 1032 bytes for one (RFC 1951: a match of 258 bytes in two bits), so a slice
 * inflates to about a megabyte. Less would cost more calls, more would cost more memory.
 */
const sliceBytes = 1024;

const sliced = (pieces: AsyncIterable<Uint8Array>): ReadableStream<Uint8Array<ArrayBuffer>> => {
  const source = pieces[Symbol.asyncIterator]();
  let rest = new Uint8Array(0);
  return new ReadableStream(
    {
      pull: async (controller) => {
        while (rest.length === 0) {
          const next = await source.next();
          if (next.done === true) {
            controller.close();
            return;
          }
          rest = new Uint8Array(next.value);
        }
        controller.enqueue(rest.slice(0, sliceBytes));
        rest = rest.subarray(sliceBytes);
      },
      cancel: async () => {
        await source.return?.();
      },
    },
    { highWaterMark: 0 },
  );
};

export async function* inflated(pieces: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  const { readable, writable } = new DecompressionStream('gzip');
  // Whatever ends the writing early is heard again by the reading, or there is nobody left to read.
  const written = sliced(pieces)
    .pipeTo(writable)
    .then(
      () => null,
      (error: unknown) => error,
    );
  try {
    yield* readable;
  } catch (error) {
    const cause = await written;
    if (cause instanceof Refusal) throw cause;
    if (error instanceof Refusal) throw error;
    throw new Refusal({ kind: 'body-not-gzip' });
  }
}
