/** Bytes written one after another into a buffer that grows. Pure: no I/O, no clock. */

export class ByteWriter {
  #bytes: Uint8Array;
  #length = 0;

  constructor(capacity = 512) {
    this.#bytes = new Uint8Array(capacity);
  }

  get length(): number {
    return this.#length;
  }

  byte(value: number): void {
    this.#reserve(1);
    this.#bytes[this.#length++] = value;
  }

  /** A whole number from 0 to 2^53, seven bits a byte, least significant first. */
  varint(value: number): void {
    this.#reserve(8);
    let rest = value;
    while (rest >= 0x80) {
      this.#bytes[this.#length++] = (rest % 0x80) + 0x80;
      rest = Math.floor(rest / 0x80);
    }
    this.#bytes[this.#length++] = rest;
  }

  double(value: number): void {
    this.#reserve(8);
    new DataView(this.#bytes.buffer).setFloat64(this.#length, value);
    this.#length += 8;
  }

  append(bytes: Uint8Array): void {
    this.#reserve(bytes.length);
    this.#bytes.set(bytes, this.#length);
    this.#length += bytes.length;
  }

  /** A copy of what was written. */
  finish(): Uint8Array<ArrayBuffer> {
    return this.#bytes.slice(0, this.#length) as Uint8Array<ArrayBuffer>;
  }

  #reserve(more: number): void {
    const needed = this.#length + more;
    if (needed <= this.#bytes.length) return;
    const grown = new Uint8Array(Math.max(needed, this.#bytes.length * 2));
    grown.set(this.#bytes);
    this.#bytes = grown;
  }
}
