/** Writes CBOR for tests, after RFC 8949 section 3, so that the reader is held against something else than itself. */

export const hexBytes = (hex: string): Uint8Array =>
  Uint8Array.from(hex.replaceAll(' ', '').match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));

const head = (major: number, argument: number): readonly number[] => {
  if (argument < 24) return [(major << 5) | argument];
  const bytes = argument < 0x100 ? 1 : argument < 0x10000 ? 2 : argument < 0x1_0000_0000 ? 4 : 8;
  const info = { 1: 24, 2: 25, 4: 26, 8: 27 }[bytes];
  const digits = BigInt(argument)
    .toString(16)
    .padStart(2 * bytes, '0');
  return [(major << 5) | info, ...hexBytes(digits)];
};

const float = (number: number): readonly number[] => {
  const bytes = new Uint8Array(9);
  bytes[0] = 0xfb;
  new DataView(bytes.buffer).setFloat64(1, number);
  return [...bytes];
};

const isTagged = (value: object): value is { readonly tag: number; readonly item: unknown } =>
  'tag' in value && 'item' in value && Object.keys(value).length === 2;

const write = (value: unknown): readonly number[] => {
  if (value === null) return [0xf6];
  if (value === undefined) return [0xf7];
  if (typeof value === 'boolean') return [value ? 0xf5 : 0xf4];
  if (typeof value === 'number') {
    if (!Number.isSafeInteger(value) || Object.is(value, -0)) return float(value);
    return value >= 0 ? head(0, value) : head(1, -1 - value);
  }
  if (typeof value === 'string') {
    const bytes = new TextEncoder().encode(value);
    return [...head(3, bytes.length), ...bytes];
  }
  if (value instanceof Uint8Array) return [...head(2, value.length), ...value];
  if (Array.isArray(value)) return [...head(4, value.length), ...value.flatMap(write)];
  if (value instanceof Map)
    return [
      ...head(5, value.size),
      ...[...value].flatMap(([key, item]) => [...write(key), ...write(item)]),
    ];
  if (typeof value === 'object' && isTagged(value))
    return [...head(6, value.tag), ...write(value.item)];
  if (typeof value === 'object') return write(new Map(Object.entries(value)));
  throw new TypeError(`no CBOR for a ${typeof value}`);
};

export const cborOf = (value: unknown): Uint8Array => Uint8Array.from(write(value));
