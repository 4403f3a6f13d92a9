/**
 * Reads what a ByteWriter wrote. Bytes that end early are damaged rows, which is a failure of the
 * platform and not a fault of anybody's input: it throws. Pure: no I/O, no clock.
 */

export class ByteReader {
  readonly #bytes: Uint8Array;
  readonly #view: DataView;
  #offset = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  get atEnd(): boolean {
    return this.#offset >= this.#bytes.length;
  }

  byte(): number {
    const value = this.#bytes[this.#offset];
    if (value === undefined)
      throw new RangeError(`packed readings end early, at byte ${this.#offset}`);
    this.#offset += 1;
    return value;
  }

  varint(): number {
    let byte = this.byte();
    if (byte < 0x80) return byte;
    let value = byte - 0x80;
    let place = 0x80;
    for (;;) {
      byte = this.byte();
      if (byte < 0x80) return value + byte * place;
      value += (byte - 0x80) * place;
      place *= 0x80;
    }
  }

  double(): number {
    const value = this.#view.getFloat64(this.#offset);
    this.#offset += 8;
    return value;
  }
}
