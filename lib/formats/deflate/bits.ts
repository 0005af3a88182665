/** Bits into bytes, least significant first (RFC 1951 §3.1.1). */
export class BitWriter {
  /**
   * @param bytes must have room for all that is put, and a byte more
   * @param at where writing begins
   * @param held what is not yet in the bytes
   * @param bits how many bits of it there are: fewer than 16 between calls
   */
  constructor(
    private readonly bytes: Uint8Array,
    private at = 0,
    private held = 0,
    private bits = 0,
  ) {}

  /** The lowest `count` bits of `value`, at most 16; higher bits must be 0. */
  put(value: number, count: number): void {
    this.held |= value << this.bits;
    this.bits += count;
    if (this.bits < 16) return;
    this.bytes[this.at] = this.held;
    this.bytes[this.at + 1] = this.held >>> 8;
    this.at += 2;
    this.held >>>= 16;
    this.bits -= 16;
  }

  /** Where whole bytes end, and the bits that are begun behind them: for who goes on by other means. */
  begun(): { readonly at: number; readonly held: number; readonly bits: number } {
    return { at: this.at, held: this.held, bits: this.bits };
  }

  /** Fills the last byte with zeros and gives the place behind it. */
  align(): number {
    for (; this.bits > 0; this.bits -= 8) {
      this.bytes[this.at++] = this.held;
      this.held >>>= 8;
    }
    this.held = 0;
    this.bits = 0;
    return this.at;
  }
}
