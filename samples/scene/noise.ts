import type { Random } from './random.ts';

/** A smooth random field over the plane: mean about 0, range about [−1, 1], features one unit wide. */
export type Field = (x: number, y: number) => number;

const fade = (t: number): number => t * t * t * (t * (t * 6 - 15) + 10);

/** Gradient noise over a lattice of 256 × 256 (Perlin 2002, "Improving noise", SIGGRAPH), with 32 directions. */
export const gradientNoise = (rng: Random): Field => {
  const table = new Uint8Array(512);
  for (let i = 0; i < 256; i++) table[i] = i;
  for (let i = 255; i > 0; i--) {
    const j = Math.floor(rng.uniform() * (i + 1));
    const kept = table[i]!;
    table[i] = table[j]!;
    table[j] = kept;
  }
  table.copyWithin(256, 0, 256);
  const gx = Float64Array.from({ length: 32 }, (_, i) => 1.5 * Math.cos((i * Math.PI) / 16));
  const gy = Float64Array.from({ length: 32 }, (_, i) => 1.5 * Math.sin((i * Math.PI) / 16));
  return (x, y) => {
    const fx = Math.floor(x);
    const fy = Math.floor(y);
    const dx = x - fx;
    const dy = y - fy;
    const column = fx & 255;
    const row = fy & 255;
    const left = table[column]! + row;
    const right = table[(column + 1) & 255]! + row;
    const a = table[left]! & 31;
    const b = table[right]! & 31;
    const c = table[left + 1]! & 31;
    const d = table[right + 1]! & 31;
    const u = fade(dx);
    const top = gx[a]! * dx + gy[a]! * dy;
    const low = gx[c]! * dx + gy[c]! * (dy - 1);
    const upper = top + u * (gx[b]! * (dx - 1) + gy[b]! * dy - top);
    const lower = low + u * (gx[d]! * (dx - 1) + gy[d]! * (dy - 1) - low);
    return upper + fade(dy) * (lower - upper);
  };
};

// Each octave is turned by the angle of a 3-4-5 triangle, so that the lattice never shows, and is 2.03 times finer.
const TURN_COS = 0.8 * 2.03;
const TURN_SIN = 0.6 * 2.03;

/**
 * Fractal sum of octaves, each `gain` times weaker than the one before.
 * Source: Ebert et al. 2003, "Texturing & Modeling", chapter 14 (fractional Brownian motion).
 */
export const fractal =
  (field: Field, octaves: number, gain = 0.5): Field =>
  (x, y) => {
    let sum = 0;
    let weight = 1;
    for (let i = 0; i < octaves; i++) {
      sum += weight * field(x, y);
      weight *= gain;
      const turned = TURN_COS * x - TURN_SIN * y + 17.3;
      y = TURN_SIN * x + TURN_COS * y - 9.1;
      x = turned;
    }
    return sum;
  };

/**
 * Fractal of sharp crests in [0, 1]: filaments. Octaves grow only where the coarser ones have a crest.
 * Source: Ebert et al. 2003, chapter 16 (ridged multifractal).
 */
export const ridged =
  (field: Field, octaves: number, gain = 0.5): Field =>
  (x, y) => {
    let sum = 0;
    let total = 0;
    let weight = 1;
    let crest = 1;
    for (let i = 0; i < octaves; i++) {
      const ridge = Math.max(0, 1 - Math.abs(field(x, y)));
      const sharp = ridge * ridge * crest;
      sum += weight * sharp;
      total += weight;
      crest = Math.min(1, sharp * 1.8);
      weight *= gain;
      const turned = TURN_COS * x - TURN_SIN * y + 31.7;
      y = TURN_SIN * x + TURN_COS * y + 5.9;
      x = turned;
    }
    return sum / total;
  };
