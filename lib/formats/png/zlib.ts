import { adler32 } from '../deflate/zlib.ts';
import { inflate, OUTPUT_MARGIN, startInflate } from '../fits/inflate.ts';

/** First size of the buffer, which doubles as long as there is more. */
const FIRST = 1 << 16;

/**
 * Inflates a whole zlib stream (RFC 1950). The buffer grows with what is inflated, so that neither a stream that promises
 * much nor one that gives much without end takes more memory than twice `most`.
 * @returns the bytes, or what is wrong with the stream
 */
export const inflateZlib = (zlib: Uint8Array, most: number): Uint8Array | string => {
  const [method = 0, flags = 0] = zlib;
  if ((method & 15) !== 8 || (method * 256 + flags) % 31 !== 0 || flags & 32) return 'it is no zlib stream';
  const state = startInflate();
  state.from = 2;
  let out = new Uint8Array(FIRST + OUTPUT_MARGIN);
  for (;;) {
    const fault = inflate(state, zlib, true, out);
    if (fault !== 'ok') return fault;
    if (state.at > most) return `it holds more than ${most} bytes`;
    if (state.mode === 'done') break;
    const longer = new Uint8Array(Math.min(2 * out.length, most + 2 * OUTPUT_MARGIN));
    longer.set(out);
    out = longer;
  }
  const bytes = out.subarray(0, state.at);
  const end = state.from - (state.bitCount >> 3);
  if (end + 4 > zlib.length) return 'it ends early';
  const sum = new DataView(zlib.buffer, zlib.byteOffset).getUint32(end);
  return sum === adler32(bytes) ? bytes : 'its checksum does not match';
};
