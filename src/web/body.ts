/**
 * Reads a request's body up to a limit: as UTF-8 text, or, where gzip is taken too, as bytes or piece by piece.
 * Refuses; never truncates. The limits hold for what is sent and for what it inflates to.
 */
import { Refusal } from './fault.ts';
import { inflated } from './inflated.ts';

/** What was sent, as it was sent. */
async function* sentPieces(request: Request, limitBytes: number): AsyncGenerator<Uint8Array> {
  if (Number(request.headers.get('content-length') ?? 0) > limitBytes)
    throw new Refusal({ kind: 'body-too-large', limitBytes });
  if (request.body === null) throw new Refusal({ kind: 'body-empty' });
  yield* upTo(unbroken(request.body), limitBytes);
}

/** A connection that breaks off leaves nobody to answer; it is no fault of ours all the same. */
async function* unbroken(body: ReadableStream<Uint8Array>): AsyncGenerator<Uint8Array> {
  const reader = body.getReader();
  try {
    while (true) {
      const next = await reader.read().catch(() => {
        throw new Refusal({ kind: 'body-broken' });
      });
      if (next.done) return;
      yield next.value;
    }
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

async function* upTo(
  pieces: AsyncIterable<Uint8Array>,
  limitBytes: number,
): AsyncGenerator<Uint8Array> {
  let size = 0;
  for await (const piece of pieces) {
    size += piece.byteLength;
    if (size > limitBytes) throw new Refusal({ kind: 'body-too-large', limitBytes });
    if (piece.byteLength > 0) yield piece;
  }
  if (size === 0) throw new Refusal({ kind: 'body-empty' });
}

const isGzip = (request: Request): boolean => {
  const found = (request.headers.get('content-encoding') ?? '').trim().toLowerCase();
  if (found === '' || found === 'identity') return false;
  // RFC 9110 section 8.4.1.3: a recipient takes "x-gzip" for "gzip".
  if (found === 'gzip' || found === 'x-gzip') return true;
  throw new Refusal({ kind: 'content-encoding', found });
};

/** The pieces of a body that may be gzip, inflated. */
const bodyPieces = (request: Request, limitBytes: number): AsyncIterable<Uint8Array> =>
  isGzip(request)
    ? upTo(inflated(sentPieces(request, limitBytes)), limitBytes)
    : sentPieces(request, limitBytes);

/** The same as pieces of text. */
export async function* textPieces(request: Request, limitBytes: number): AsyncGenerator<string> {
  const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: false });
  for await (const piece of bodyPieces(request, limitBytes))
    yield asText(() => decoder.decode(piece, { stream: true }));
  yield asText(() => decoder.decode());
}

const asText = (decode: () => string): string => {
  try {
    return decode();
  } catch {
    throw new Refusal({ kind: 'body-not-utf8' });
  }
};

const joined = async (pieces: AsyncIterable<Uint8Array>): Promise<Uint8Array> => {
  const all: Uint8Array[] = [];
  let size = 0;
  for await (const piece of pieces) {
    all.push(piece);
    size += piece.byteLength;
  }
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const piece of all) {
    bytes.set(piece, at);
    at += piece.byteLength;
  }
  return bytes;
};

/** The whole of a body that may be gzip, inflated. */
export const readBytes = (request: Request, limitBytes: number): Promise<Uint8Array> =>
  joined(bodyPieces(request, limitBytes));

export const utf8 = (bytes: Uint8Array): string =>
  asText(() => new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(bytes));

export const readText = async (request: Request, limitBytes: number): Promise<string> =>
  utf8(await joined(sentPieces(request, limitBytes)));

/** Refuses a body that does not call itself by one of the accepted media types; says which it is. */
export const requireMediaType = <Accepted extends string>(
  request: Request,
  accepted: readonly Accepted[],
): Accepted => {
  const found = (request.headers.get('content-type') ?? '').split(';', 1)[0]?.trim().toLowerCase();
  const type = accepted.find((one) => one === found);
  if (type === undefined) throw new Refusal({ kind: 'media-type', found: found ?? '', accepted });
  return type;
};
