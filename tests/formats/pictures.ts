import type { OutputRows, OutputSample, PictureInfo, SpaceName } from '../../lib/plane/picture.ts';

/** A picture to be written in tests: a gradient with noise, extremes at its start. */
export const testRows = (width: number, height: number, bands: 3 | 4, sample: OutputSample): OutputRows => {
  const length = width * height * bands;
  const rows =
    sample === 'u8' ? new Uint8Array(length) : sample === 'u16' ? new Uint16Array(length) : new Float32Array(length);
  const top = sample === 'u8' ? 255 : sample === 'u16' ? 65535 : 1;
  let seed = 1;
  for (let i = 0; i < length; i++) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    rows[i] = top * (0.8 * (i / length) + 0.2 * (seed / 2 ** 32));
  }
  rows.set([0, top, top / 2, 1].slice(0, length));
  return rows;
};

export const info = (
  width: number,
  height: number,
  bands: 3 | 4 = 3,
  sample: OutputSample = 'u16',
  space: SpaceName = 'srgb',
  note = '',
): PictureInfo => ({ width, height, bands, sample, space, note });

/** A note with everything that a recipe may bring along, in the ASCII that writers are given. */
export const NOTE = JSON.stringify({ name: 'Kupfer & Türkis — 星雲 "S"/\\ \u2028', numbers: [1e-17, -0, 0.1] }).replace(
  /[\u007f-\uffff]/g,
  (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
);
