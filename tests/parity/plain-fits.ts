import { readFileSync } from 'node:fs';

export interface PlainImage {
  readonly width: number;
  readonly height: number;
  /** Physical values, top row first. */
  readonly data: Float64Array;
}

/**
 * A FITS reader for tests only, written apart from the library's: primary array, BITPIX 16, −32 or −64, the first
 * stored row at the bottom.
 */
export const readPlainFits = (path: string): PlainImage => {
  const bytes = readFileSync(path);
  const cards = new Map<string, string>();
  let at = 0;
  for (; ; at += 80) {
    const card = bytes.toString('latin1', at, at + 80);
    if (card.startsWith('END ')) break;
    cards.set(card.slice(0, 8).trim(), card.slice(10).split('/')[0]!.trim());
  }
  const number = (key: string, fallback?: number) => Number(cards.get(key) ?? fallback);
  const [width, height, bitpix] = [number('NAXIS1'), number('NAXIS2'), number('BITPIX')];
  const [zero, scale] = [number('BZERO', 0), number('BSCALE', 1)];
  const start = Math.ceil((at + 80) / 2880) * 2880;
  const view = new DataView(bytes.buffer, bytes.byteOffset + start);
  const read = {
    16: (i: number) => view.getInt16(2 * i),
    '-32': (i: number) => view.getFloat32(4 * i),
    '-64': (i: number) => view.getFloat64(8 * i),
  }[bitpix as 16 | -32 | -64];
  const data = new Float64Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) data[(height - 1 - y) * width + x] = zero + scale * read(y * width + x);
  return { width, height, data };
};
