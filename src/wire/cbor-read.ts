/**
 * Reads one CBOR data item (RFC 8949) from bytes, whole or not at all. Own code rather than a library: this layer
 * uses none, the libraries looked at put a replacement character where text is not UTF-8, and a decoder that knows
 * its bounds is shorter than a guard around one that does not. Pure: no I/O, no clock. Never throws.
 *
 * Where RFC 8949 leaves a choice:
 * - Integers of 64 bits become the nearest double. Half, single and double floats are read; NaN and the infinities
 *   are floats like others, and whoever wants a measurement refuses them.
 * - Arrays and maps may have an indefinite length, which the item says. Strings may not: RFC 8428 section 6 wants
 *   definite ones, and chunks would only be work.
 * - A map with two equal keys is refused (section 5.6), and so is a key that is neither an integer nor text.
 * - Tags are kept with what they tag; nothing is made of them here.
 * - Integers and lengths need not be in their shortest form (section 4.1 asks that of senders only).
 */
import { fail, ok, type Result } from '../result.ts';

export type CborItem =
  | { readonly kind: 'integer' | 'float'; readonly number: number }
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'bytes'; readonly bytes: Uint8Array }
  | { readonly kind: 'array'; readonly items: readonly CborItem[]; readonly definite: boolean }
  | { readonly kind: 'map'; readonly entries: ReadonlyMap<number | string, CborItem> }
  | { readonly kind: 'tag'; readonly tag: number; readonly item: CborItem }
  /** 20 is false, 21 true, 22 null, 23 undefined (section 3.3). */
  | { readonly kind: 'simple'; readonly simple: number };

/** Each with the byte at which it was found, counted from 0. */
export type CborFault =
  | { readonly kind: 'cut-off'; readonly at: number }
  | { readonly kind: 'more-behind'; readonly at: number }
  | { readonly kind: 'reserved'; readonly at: number; readonly found: number }
  | { readonly kind: 'stray-break'; readonly at: number }
  | { readonly kind: 'indefinite-string'; readonly at: number }
  | { readonly kind: 'not-utf8'; readonly at: number }
  | { readonly kind: 'key-kind'; readonly at: number }
  | { readonly kind: 'key-twice'; readonly at: number; readonly found: string }
  | { readonly kind: 'too-deep'; readonly at: number; readonly most: number };

/**
 * Chosen by us: a pack is two levels deep, a decimal fraction in it four; what an unknown field holds may be a little
 * deeper. More lets a small body ask for a deep stack.
 */
const deepest = 16;

export const cborFaultInWords = (fault: CborFault): string => {
  const at = `byte ${fault.at + 1} of the CBOR body`;
  switch (fault.kind) {
    case 'cut-off':
      return `the CBOR body ends at byte ${fault.at} in the middle of an item; send all of it`;
    case 'more-behind':
      return `${at} stands behind the end of the pack; send one array and nothing more`;
    case 'reserved':
      return `${at} is 0x${fault.found.toString(16).padStart(2, '0')}, which RFC 8949 gives no meaning; check the encoder`;
    case 'stray-break':
      return `${at} is a break where none can stand; check the encoder`;
    case 'indefinite-string':
      return `${at} begins a string of indefinite length; send strings with their length`;
    case 'not-utf8':
      return `${at} begins a text that is not UTF-8; send text in UTF-8`;
    case 'key-kind':
      return `${at} begins a map key that is neither an integer nor text; label fields as RFC 8428 table 4 does`;
    case 'key-twice':
      return `${at} begins the key ${fault.found}, which the same map has already; give each field once`;
    case 'too-deep':
      return `${at} lies more than ${fault.most} levels deep; send records that hold plain values`;
  }
};

/** Carries a fault out of the recursion; caught in `readCbor`, never seen outside. */
class Stop extends Error {
  readonly fault: CborFault;

  constructor(fault: CborFault) {
    super(fault.kind);
    this.fault = fault;
  }
}

const breakByte = 0xff;

/** IEEE 754 binary16, as RFC 8949 appendix D has it. */
const halfFloat = (bits: number): number => {
  const exponent = (bits >> 10) & 0x1f;
  const mantissa = bits & 0x3ff;
  const magnitude =
    exponent === 0
      ? mantissa * 2 ** -24
      : exponent < 31
        ? (mantissa + 1024) * 2 ** (exponent - 25)
        : mantissa === 0
          ? Number.POSITIVE_INFINITY
          : Number.NaN;
  return bits >= 0x8000 ? -magnitude : magnitude;
};

class Reader {
  #at = 0;
  readonly #bytes: Uint8Array;
  readonly #view: DataView;
  readonly #utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  whole(): CborItem {
    const item = this.#item(1);
    if (this.#at < this.#bytes.length) throw new Stop({ kind: 'more-behind', at: this.#at });
    return item;
  }

  #item(depth: number): CborItem {
    const at = this.#at;
    if (depth > deepest) throw new Stop({ kind: 'too-deep', at, most: deepest });
    const initial = this.#byte();
    const [major, info] = [initial >> 5, initial & 0x1f];
    if (major === 7) return this.#floatOrSimple(at, initial, info);
    const indefinite = info === 31;
    if (info > 27 && (!indefinite || major < 2 || major === 6))
      throw new Stop({ kind: 'reserved', at, found: initial });
    if (indefinite && major < 4) throw new Stop({ kind: 'indefinite-string', at });
    const argument = indefinite ? 0 : this.#argument(info);
    switch (major) {
      case 0:
        return { kind: 'integer', number: argument };
      case 1:
        return { kind: 'integer', number: -1 - argument };
      case 2:
        return { kind: 'bytes', bytes: this.#take(argument).slice() };
      case 3:
        return { kind: 'text', text: this.#text(at, argument) };
      case 4:
        return {
          kind: 'array',
          items: this.#array(indefinite ? null : argument, depth),
          definite: !indefinite,
        };
      case 5:
        return { kind: 'map', entries: this.#map(indefinite ? null : argument, depth) };
      default:
        return { kind: 'tag', tag: argument, item: this.#item(depth + 1) };
    }
  }

  #floatOrSimple(at: number, initial: number, info: number): CborItem {
    switch (info) {
      case 24: {
        const simple = this.#byte();
        // Section 3.3: the two-byte form of what one byte can say is not well-formed.
        if (simple < 32) throw new Stop({ kind: 'reserved', at, found: initial });
        return { kind: 'simple', simple };
      }
      case 25:
        return { kind: 'float', number: halfFloat(this.#view.getUint16(this.#skip(2))) };
      case 26:
        return { kind: 'float', number: this.#view.getFloat32(this.#skip(4)) };
      case 27:
        return { kind: 'float', number: this.#view.getFloat64(this.#skip(8)) };
      case 31:
        throw new Stop({ kind: 'stray-break', at });
      default:
        if (info > 27) throw new Stop({ kind: 'reserved', at, found: initial });
        return { kind: 'simple', simple: info };
    }
  }

  /** A declared number of items is never believed before they have been read. */
  #array(count: number | null, depth: number): readonly CborItem[] {
    const items: CborItem[] = [];
    while (count === null ? !this.#atBreak() : items.length < count)
      items.push(this.#item(depth + 1));
    return items;
  }

  #map(count: number | null, depth: number): ReadonlyMap<number | string, CborItem> {
    const entries = new Map<number | string, CborItem>();
    while (count === null ? !this.#atBreak() : entries.size < count) {
      const at = this.#at;
      const item = this.#item(depth + 1);
      if (item.kind !== 'text' && item.kind !== 'integer') throw new Stop({ kind: 'key-kind', at });
      const key = item.kind === 'text' ? item.text : item.number;
      if (entries.has(key)) {
        const found = typeof key === 'number' ? String(key) : JSON.stringify(key.slice(0, 60));
        throw new Stop({ kind: 'key-twice', at, found });
      }
      entries.set(key, this.#item(depth + 1));
    }
    return entries;
  }

  #atBreak(): boolean {
    if (this.#bytes[this.#at] !== breakByte) return false;
    this.#at += 1;
    return true;
  }

  #text(at: number, length: number): string {
    const bytes = this.#take(length);
    try {
      return this.#utf8.decode(bytes);
    } catch {
      throw new Stop({ kind: 'not-utf8', at });
    }
  }

  #argument(info: number): number {
    switch (info) {
      case 24:
        return this.#byte();
      case 25:
        return this.#view.getUint16(this.#skip(2));
      case 26:
        return this.#view.getUint32(this.#skip(4));
      case 27:
        return Number(this.#view.getBigUint64(this.#skip(8)));
      default:
        return info;
    }
  }

  #byte(): number {
    return this.#view.getUint8(this.#skip(1));
  }

  #take(length: number): Uint8Array {
    const from = this.#skip(length);
    return this.#bytes.subarray(from, from + length);
  }

  /** Where the bytes begin that are passed over. */
  #skip(length: number): number {
    const from = this.#at;
    if (length > this.#bytes.length - from)
      throw new Stop({ kind: 'cut-off', at: this.#bytes.length });
    this.#at = from + length;
    return from;
  }
}

export const readCbor = (bytes: Uint8Array): Result<CborItem, CborFault> => {
  try {
    return ok(new Reader(bytes).whole());
  } catch (error) {
    if (error instanceof Stop) return fail(error.fault);
    throw error;
  }
};
