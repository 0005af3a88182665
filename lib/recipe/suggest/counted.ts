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

/** Where lines are round: curvature along every direction, and how much of it makes a star. */
const roundnessOf = (line: Float32Array, width: number, height: number): { round: Float32Array; limit: number } => {
  const size = { width, height };
  const [values, round] = [line.map((v) => (v - v === 0 ? v : 0)), new Float32Array(line.length)];
  smoothed(values, size, round);
  roundness(values, size, round);
  const some = round.filter((v) => v > 0).sort();
  return { round, limit: STAR * 1.4826 * (some[some.length >> 1] ?? 0) };
};

/**
 * Indices of the brightest pixels of stars: round in at least two lines, or in the only one, brighter there than their
 * neighbours in all lines together, and not saturated in any.
 */
export const starPlaces = (lines: readonly Float32Array[], width: number, height: number): number[] => {
  const found = lines.map((line) => roundnessOf(line, width, height));
  const margin = Math.max(1, Math.ceil(BORDER * Math.min(width, height)));
  const sum = (i: number) => lines.reduce((total, line) => total + line[i]!, 0);
  const isStar = (i: number): boolean => {
    const rounds = found.filter(({ round, limit }) => limit > 0 && round[i]! > limit).length;
    if (rounds < Math.min(2, lines.length) || lines.some((line) => !(line[i]! < SATURATED))) return false;
    const own = sum(i);
    return [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1].every((step) => own > sum(i + step));
  };
  const places: number[] = [];
  for (let y = margin; y < height - margin; y++)
    for (let x = margin; x < width - margin; x++) if (isStar(y * width + x)) places.push(y * width + x);
  return places;
};

const markStars = (line: Float32Array, width: number, height: number, left: Uint8Array): void => {
  const { round, limit } = roundnessOf(line, width, height);
  if (!(limit > 0)) return;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) if (round[y * width + x]! > limit) markAround(left, x, y, width, height);
};

const markAround = (left: Uint8Array, x: number, y: number, width: number, height: number): void => {
  for (let v = Math.max(0, y - STAR_REACH); v <= Math.min(height - 1, y + STAR_REACH); v++)
    for (let u = Math.max(0, x - STAR_REACH); u <= Math.min(width - 1, x + STAR_REACH); u++) left[v * width + u] = 1;
};
