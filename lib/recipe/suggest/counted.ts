import { roundness, smoothed } from '../../measure/registration/smooth.ts';

/** Share of the frame's sides that counts as border. */
const BORDER = 0.02;
/** A star is rounder than so many times the scatter of roundness. */
const STAR = 12;
/** Pixels around a star that belong to it. */
const STAR_REACH = 2;
/** Stretched values above this are as good as saturated. */
const SATURATED = 0.995;

/** Indices of the pixels that show nebula or sky in all lines: no border, star, saturation or missing data. */
export const countedPlaces = (lines: readonly Float32Array[], width: number, height: number): number[] => {
  const left = new Uint8Array(width * height);
  for (const line of lines) {
    markStars(line, width, height, left);
    for (let i = 0; i < line.length; i++) if (!(line[i]! < SATURATED)) left[i] = 1;
  }
  const margin = Math.ceil(BORDER * Math.min(width, height));
  const places: number[] = [];
  for (let y = margin; y < height - margin; y++)
    for (let x = margin; x < width - margin; x++) if (left[y * width + x] === 0) places.push(y * width + x);
  return places;
};

const markStars = (line: Float32Array, width: number, height: number, left: Uint8Array): void => {
  const size = { width, height };
  const [values, round] = [line.map((v) => (v - v === 0 ? v : 0)), new Float32Array(line.length)];
  smoothed(values, size, round);
  roundness(values, size, round);
  const some = round.filter((v) => v > 0).sort();
  const limit = STAR * 1.4826 * (some[some.length >> 1] ?? 0);
  if (!(limit > 0)) return;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) if (round[y * width + x]! > limit) markAround(left, x, y, width, height);
};

const markAround = (left: Uint8Array, x: number, y: number, width: number, height: number): void => {
  for (let v = Math.max(0, y - STAR_REACH); v <= Math.min(height - 1, y + STAR_REACH); v++)
    for (let u = Math.max(0, x - STAR_REACH); u <= Math.min(width - 1, x + STAR_REACH); u++) left[v * width + u] = 1;
};
