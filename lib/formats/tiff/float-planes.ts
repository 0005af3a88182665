import { type TiffFile, tiffFault } from './directory.ts';
import { pixelBytes, type TiffImage } from './image.ts';
import { reverseSamples } from './predictor.ts';
import type { StoredRows } from './rows.ts';

// The floating point predictor stores a row as planes of bytes, most significant plane first, whatever the file's byte
// order (TIFF Technical Note 3); libtiff and tifffile read it so. But libtiff 4.5 on a little-endian machine *writes*
// big-endian files with the least significant plane first, which it then misreads itself. Nothing in the file tells
// which of the two it is; the numbers do: sign and exponent of a picture stay close together, and the low bits of its
// noise, taken for sign and exponent, do not (or are all zero, and give numbers near the smallest).

const ENOUGH = 4096;
const FEWEST = 64;
const BLOCK = 1 << 18;

/** Octaves between the 5th and the 95th percentile of size, and those of the median, beyond which data is no picture. */
const LIMITS = { f32: { spread: 60, size: 110 }, f64: { spread: 120, size: 500 } } as const;

/** Whether sizes look like those of a picture: log₂ |value| of its finite values other than zero. */
const looksLikePicture = (octaves: readonly number[], type: 'f32' | 'f64'): boolean => {
  if (octaves.length < FEWEST) return false;
  const sorted = [...octaves].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.floor(share * (sorted.length - 1))]!;
  return at(0.95) - at(0.05) <= LIMITS[type].spread && Math.abs(at(0.5)) <= LIMITS[type].size;
};

const collect = (bytes: Uint8Array, type: 'f32' | 'f64', octaves: number[]): void => {
  const { buffer, byteOffset, length } = bytes;
  const values =
    type === 'f32'
      ? new Float32Array(buffer, byteOffset, length / 4)
      : new Float64Array(buffer, byteOffset, length / 8);
  for (const value of values)
    if (value !== 0 && Number.isFinite(value) && octaves.length < 4 * ENOUGH) octaves.push(Math.log2(Math.abs(value)));
};

/**
 * Whether a big-endian file's float planes lie least significant first. `stored` reads them as the note says. The middle
 * of the picture is looked at first, since borders are often empty.
 * @throws LinewashError 'format' where the numbers do not tell.
 */
export const arePlanesReversed = async (file: TiffFile, image: TiffImage, stored: StoredRows): Promise<boolean> => {
  const { type, height } = image;
  const noted: number[] = [];
  const reversed: number[] = [];
  if (type === 'f32' || type === 'f64') {
    const rowBytes = image.width * pixelBytes(image);
    const rows = Math.min(height, Math.max(1, Math.floor(BLOCK / rowBytes)));
    const bytes = new Uint8Array(rows * rowBytes);
    const middle = Math.floor(height / 2);
    for (const start of [middle, 0])
      for (let y = start; y < height && noted.length < ENOUGH && reversed.length < ENOUGH; y += rows) {
        const part = bytes.subarray(0, Math.min(rows, height - y) * rowBytes);
        await stored(y, part.length / rowBytes, part);
        collect(part, type, noted);
        reverseSamples(part, type === 'f32' ? 4 : 8);
        collect(part, type, reversed);
      }
    if (noted.length === 0 && reversed.length === 0) return false;
    const plausible = looksLikePicture(noted, type);
    if (plausible !== looksLikePicture(reversed, type)) return !plausible;
  }
  throw tiffFault(
    file,
    'big-endian with predictor 3 has been written in two ways, and its numbers do not tell which this is',
    'save it without a predictor, or little-endian',
  );
};
