import type { Chunks } from '../chunks.ts';
import { pixelBytes, type TiffImage } from '../image.ts';
import type { StoredRows } from '../rows.ts';

/** Decodes a strip or tile of one plane (of all samples where pixels are stored whole): pixels without gaps. */
export type DecodeChunk = (plane: number, chunk: number) => Promise<Uint8Array>;

/** Decoded strips and tiles are kept up to so many bytes: red, green and blue are read one after the other. */
const KEPT_BYTES = 1 << 25;

/** The strips or tiles that were asked for last; of those being decoded too, none is decoded twice. */
const keeping = (decode: DecodeChunk): DecodeChunk => {
  const kept = new Map<string, { readonly pixels: Promise<Uint8Array>; bytes: number }>();
  let total = 0;
  const drop = (key: string) => {
    total -= kept.get(key)?.bytes ?? 0;
    kept.delete(key);
  };
  return (plane, chunk) => {
    const key = `${plane}/${chunk}`;
    const found = kept.get(key);
    if (found !== undefined) {
      // To the end of the queue.
      kept.delete(key);
      kept.set(key, found);
      return found.pixels;
    }
    const entry = { pixels: decode(plane, chunk), bytes: 0 };
    kept.set(key, entry);
    entry.pixels.then(
      ({ length }) => {
        entry.bytes = length;
        total += length;
        for (const old of kept.keys()) if (total > KEPT_BYTES && old !== key) drop(old);
      },
      () => drop(key),
    );
    return entry.pixels;
  };
};

/**
 * Rows of a picture whose strips or tiles are decoded whole, with the samples of all planes side by side.
 * @param chunks those of each plane
 * @param whole the image as rows are given: pixels with all samples
 */
export const decodedRows = (whole: TiffImage, chunks: readonly Chunks[], decode: DecodeChunk): StoredRows => {
  const { across, width: chunkWidth, height: chunkHeight } = chunks[0]!;
  const bytes = pixelBytes(whole);
  const part = bytes / chunks.length;
  const decoded = keeping(decode);

  /** One row of a strip or tile into its place in the row of the picture. */
  const put = (pixels: Uint8Array, from: number, count: number, into: Uint8Array, at: number, plane: number) => {
    if (chunks.length === 1) return into.set(pixels.subarray(from, from + count * bytes), at);
    for (let x = 0; x < count; x++)
      for (let i = 0; i < part; i++) into[at + x * bytes + plane * part + i] = pixels[from + x * part + i]!;
  };

  return async (y, rows, into) => {
    for (let band = Math.floor(y / chunkHeight); band * chunkHeight < y + rows; band++) {
      const first = Math.max(y, band * chunkHeight);
      const last = Math.min(y + rows, (band + 1) * chunkHeight);
      for (let column = 0; column < across; column++) {
        const left = column * chunkWidth;
        const count = Math.min(chunkWidth, whole.width - left);
        for (let plane = 0; plane < chunks.length; plane++) {
          const pixels = await decoded(plane, band * across + column);
          for (let row = first; row < last; row++) {
            const from = (row - band * chunkHeight) * chunkWidth * part;
            put(pixels, from, count, into, ((row - y) * whole.width + left) * bytes, plane);
          }
        }
      }
    }
  };
};
