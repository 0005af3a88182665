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
  const packed = new Float32Array(found.reduce((sum, { pixels }) => sum + NUMBERS + pixels.length, 0));
  let at = 0;
  for (const { x, y, snr, radius, column, row, pixels } of found) {
    packed.set([x, y, snr, radius, column, row], at);
    packed.set(pixels, at + NUMBERS);
    at += NUMBERS + pixels.length;
  }
  return packed;
};

/** @param lines how many the stars were found in */
export const unpackFound = (packed: Float32Array, lines: number): Found[] => {
  const found: Found[] = [];
  for (let at = 0; at < packed.length; ) {
    const [x, y, snr, radius, column, row] = packed.subarray(at, at + NUMBERS) as unknown as Required<Numbers>;
    const first = at + NUMBERS;
    found.push({ x, y, snr, radius, column, row, pixels: packed, first });
    at = first + lines * (2 * radius + 1) ** 2;
  }
  return found;
};

type Numbers = [x: number, y: number, snr: number, radius: number, column: number, row: number];
