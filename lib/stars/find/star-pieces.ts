import type { CreatePieceWorker } from '../../plane/piece-work.ts';
import { createDetector, type Detecting, type Found } from './detect.ts';

/** Numbers of a star before its pixels. */
const NUMBERS = 6;

/** Finds stars in pieces of a frame, on any thread. */
export const createStarWorker: CreatePieceWorker = (sources, question) => {
  const detect = createDetector(sources, question as Detecting);
  return async (piece) => packFound(await detect(piece));
};

const packFound = (found: readonly Found[]): Float32Array<ArrayBuffer> => {
  const sizes = found.map(({ pixels }) => NUMBERS + pixels.reduce((sum, { length }) => sum + length, 0));
  const packed = new Float32Array(sizes.reduce((a, b) => a + b, 0));
  let at = 0;
  for (const { x, y, snr, radius, column, row, pixels } of found) {
    packed.set([x, y, snr, radius, column, row], at);
    at += NUMBERS;
    for (const line of pixels) {
      packed.set(line, at);
      at += line.length;
    }
  }
  return packed;
};

/** @param lines how many the stars were found in */
export const unpackFound = (packed: Float32Array, lines: number): Found[] => {
  const found: Found[] = [];
  for (let at = 0; at < packed.length; ) {
    const [x, y, snr, radius, column, row] = packed.subarray(at, at + NUMBERS) as unknown as Required<Numbers>;
    at += NUMBERS;
    const length = (2 * radius + 1) ** 2;
    const pixels = Array.from({ length: lines }, (_, k) => packed.subarray(at + k * length, at + (k + 1) * length));
    at += lines * length;
    found.push({ x, y, snr, radius, column, row, pixels });
  }
  return found;
};

type Numbers = [x: number, y: number, snr: number, radius: number, column: number, row: number];
