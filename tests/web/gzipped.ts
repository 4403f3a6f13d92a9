/** Gzip for tests of the door, by the platform's own compressor. */
export const gzipped = async (
  body: string | Uint8Array<ArrayBuffer>,
): Promise<Uint8Array<ArrayBuffer>> =>
  new Uint8Array(
    await new Response(
      new Blob([body]).stream().pipeThrough(new CompressionStream('gzip')),
    ).arrayBuffer(),
  );
