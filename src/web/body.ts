/** Reads a request's body up to a limit, as UTF-8 text. Refuses; never truncates. */
import { Refusal } from './fault.ts';

export const readText = async (request: Request, limitBytes: number): Promise<string> => {
  const tooLarge = (): Refusal => new Refusal({ kind: 'body-too-large', limitBytes });
  if (Number(request.headers.get('content-length') ?? 0) > limitBytes) throw tooLarge();
  if (request.body === null) throw new Refusal({ kind: 'body-empty' });
  const pieces: Uint8Array[] = [];
  let size = 0;
  for await (const piece of request.body) {
    size += piece.byteLength;
    if (size > limitBytes) throw tooLarge();
    pieces.push(piece);
  }
  if (size === 0) throw new Refusal({ kind: 'body-empty' });
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const piece of pieces) {
    bytes.set(piece, at);
    at += piece.byteLength;
  }
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(bytes);
  } catch {
    throw new Refusal({ kind: 'body-not-utf8' });
  }
};

/** Refuses a body that does not call itself by one of the accepted media types. */
export const requireMediaType = (request: Request, accepted: readonly string[]): void => {
  const found = (request.headers.get('content-type') ?? '').split(';', 1)[0]?.trim().toLowerCase();
  if (!accepted.includes(found ?? ''))
    throw new Refusal({ kind: 'media-type', found: found ?? '', accepted });
};
