import { HALO, type Patch } from './patches.ts';
import { starletTransform } from './starlet.ts';

/** Side of the blocks that moments are taken over. */
export const BLOCK = 32;
/** The starlet scales (1 is the finest) whose products are kept. */
export const SCALES = [2, 3, 4] as const;
export type Scale = (typeof SCALES)[number];
/** Blocks with a smaller share of defined pixels in any master do not count. */
const DEFINED = 0.9;

/** One block of the patches. */
export interface ProductBlock {
  readonly patch: Patch;
  /** Its top left pixel, in pixels of the patch's planes. */
  readonly x: number;
  readonly y: number;
  /** Mean products of starlet coefficients of masters i ≥ j: scale → i(i+1)/2 + j. */
  readonly products: Readonly<Record<Scale, Float64Array>>;
}

/** Where the product of two masters stands. */
export const pairIndex = (i: number, j: number): number => (i >= j ? (i * (i + 1)) / 2 + j : (j * (j + 1)) / 2 + i);

/** Mean products of the starlet coefficients of every two masters, block by block; of one patch at a time in memory. */
export const blockProducts = (patches: readonly Patch[]): ProductBlock[] => {
  const [first] = patches;
  if (first === undefined) return [];
  const { width, rows, planes } = first;
  const size = planes[0]!.length;
  const transform = starletTransform(width, rows + 2 * HALO);
  const details = planes.map(() => SCALES.map(() => new Float32Array(size)));
  const whole = new Float32Array(size);
  return patches.flatMap((patch) => {
    const places = placesIn(patch);
    if (places.length === 0) return [];
    for (const [i, plane] of patch.planes.entries()) {
      fillGaps(plane, whole, width);
      transform(whole, [undefined, ...details[i]!]);
    }
    return places.map((place) => {
      const [fine, middle, coarse] = SCALES.map((_, k) => meanProducts(details, k, width, place));
      return { patch, ...place, products: { 2: fine!, 3: middle!, 4: coarse! } };
    });
  });
};

interface Place {
  readonly x: number;
  readonly y: number;
}

/** The blocks of a patch in which enough of every master is defined. */
const placesIn = ({ width, rows, planes }: Patch): Place[] => {
  const places: Place[] = [];
  for (let y = HALO; y + BLOCK <= HALO + rows; y += BLOCK)
    for (let x = 0; x + BLOCK <= width; x += BLOCK)
      if (planes.every((plane) => definedShare(plane, width, x, y) >= DEFINED)) places.push({ x, y });
  return places;
};

const definedShare = (plane: Float32Array, width: number, x: number, y: number): number => {
  let count = 0;
  for (let r = y; r < y + BLOCK; r++)
    for (let i = r * width + x; i < r * width + x + BLOCK; i++) if (!Number.isNaN(plane[i]!)) count++;
  return count / BLOCK ** 2;
};

/** Undefined pixels take the value of the last defined one before them in the row, or else of the first after. */
const fillGaps = (from: Float32Array, into: Float32Array, width: number): void => {
  for (let start = 0; start < from.length; start += width) {
    const end = start + width;
    let first = start;
    while (first < end && Number.isNaN(from[first]!)) first++;
    let last = first < end ? from[first]! : 0;
    for (let i = start; i < end; i++) {
      const value = from[i]!;
      if (!Number.isNaN(value)) last = value;
      into[i] = last;
    }
  }
};

const meanProducts = (
  details: readonly (readonly Float32Array[])[],
  scale: number,
  width: number,
  { x, y }: Place,
): Float64Array => {
  const means = new Float64Array(pairIndex(details.length - 1, details.length - 1) + 1);
  for (let i = 0; i < details.length; i++)
    for (let j = 0; j <= i; j++)
      means[pairIndex(i, j)] = blockMean(details[i]![scale]!, details[j]![scale]!, width, x, y);
  return means;
};

const blockMean = (a: Float32Array, b: Float32Array, width: number, x: number, y: number): number => {
  let sum = 0;
  for (let r = y; r < y + BLOCK; r++) {
    const end = r * width + x + BLOCK;
    for (let k = end - BLOCK; k < end; k++) sum += a[k]! * b[k]!;
  }
  return sum / BLOCK ** 2;
};
