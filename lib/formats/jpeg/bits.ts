/** Bits into bytes, most significant first; a byte of ones is followed by one of zeros (ITU-T T.81 §F.1.2.3). */
export class StuffedBits {
  private held = 0;
  private bits = 0;
  private at = 0;

  /** @param bytes must have room for all that is put, each byte taken twice */
  constructor(private readonly bytes: Uint8Array) {}

  /** The lowest `count` bits of `value`, at most 16; higher bits must be 0. */
  put(value: number, count: number): void {
    this.held = (this.held << count) | value;
    this.bits += count;
    while (this.bits >= 8) {
      this.bits -= 8;
      const byte = (this.held >>> this.bits) & 255;
      this.bytes[this.at++] = byte;
      if (byte === 255) this.bytes[this.at++] = 0;
    }
  }

  /** Fills the last byte with ones and gives a copy of all; what is put next begins anew. */
  take(): Uint8Array<ArrayBuffer> {
    if (this.bits > 0) this.put((1 << (8 - this.bits)) - 1, 8 - this.bits);
    const all = this.bytes.slice(0, this.at) as Uint8Array<ArrayBuffer>;
    this.held = 0;
    this.at = 0;
    return all;
  }
}
