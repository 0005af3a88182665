import { addLight, lightOf } from '../../../lib/stars/model.ts';
import type { StarList } from '../../../lib/stars/star-list.ts';
import type { Scene } from './scenes.ts';

type Planes = readonly Float32Array[];

/** Where spikes are brighter than this part of the noise, nothing says whether they should stay or go: such pixels are left out. */
const FAINT_SPIKE = 0.5;

/** What is left in a line without stars beyond its truth, in units of the noise of each pixel, where the mask holds stars. */
const leftInDiscs = (
  { under, noise, spikes }: Scene,
  starless: Planes,
  mask: Float32Array,
  k: number,
): Float64Array => {
  const left: number[] = [];
  for (let i = 0; i < mask.length; i++)
    if (mask[i]! > 0 && spikes[k]![i]! <= FAINT_SPIKE * noise[k]![i]!)
      left.push((starless[k]![i]! - under[k]![i]!) / noise[k]![i]!);
  return Float64Array.from(left);
};

const medianOf = (values: Float64Array): number => values.slice().sort()[values.length >> 1]!;

/** Of each line: the deviation from the truth in the discs of stars, in units of the noise: robust, and root mean square. */
export const errorInDiscs = (scene: Scene, starless: Planes, mask: Float32Array) =>
  starless.map((_, k) => {
    const left = leftInDiscs(scene, starless, mask, k);
    return {
      robust: 1.4826 * medianOf(left.map(Math.abs)),
      rms: Math.sqrt(left.reduce((sum, value) => sum + value * value, 0) / left.length),
    };
  });

const RINGS = 8;

/** Of each line: the largest median, up or down, of what is left at one distance from bright stars, in units of the noise. */
export const ringsAround = ({ under, noise, stars, width, height }: Scene, starless: Planes, above: number) =>
  starless.map((line, k) => {
    const rings = Array.from({ length: RINGS }, (): number[] => []);
    for (const { x, y, snr } of stars) {
      if (snr < above) continue;
      for (let row = Math.max(0, Math.ceil(y - RINGS)); row <= Math.min(height - 1, y + RINGS); row++)
        for (let column = Math.max(0, Math.ceil(x - RINGS)); column <= Math.min(width - 1, x + RINGS); column++) {
          const away = Math.hypot(column - x, row - y);
          const i = row * width + column;
          const left = (line[i]! - under[k]![i]!) / noise[k]![i]!;
          if (away < RINGS && !Number.isNaN(left)) rings[Math.floor(away)]!.push(left);
        }
    }
    const medians = rings.map((ring) => medianOf(Float64Array.from(ring)));
    return Math.max(...medians.map(Math.abs));
  });

/** How far around a pixel the lowest truth is looked for, and how far below it a hole lies, in units of the noise without stars. */
const AROUND = 15;
const HOLE = 3;

/**
 * Dark holes: pixels of stars whose mean with their neighbours lies so far below all truth around them; how many there are over
 * all lines, and how deep the deepest lies below that truth, in units of the noise without stars.
 */
export const holesIn = (scene: Scene, starless: Planes, mask: Float32Array) => {
  const { under, darkNoise, width, height } = scene;
  let [count, deepest] = [0, 0];
  for (const [k, line] of starless.entries()) {
    const lowest = lowestAround(under[k]!, width, height);
    for (let y = 1; y < height - 1; y++)
      for (let x = 1; x < width - 1; x++) {
        const i = y * width + x;
        if (!(mask[i]! > 0)) continue;
        let sum = 0;
        for (let v = -1; v <= 1; v++) for (let u = -1; u <= 1; u++) sum += line[i + v * width + u]!;
        const depth = (lowest[i]! - sum / 9) / darkNoise[k]![i]!;
        if (depth > HOLE) count++;
        if (depth > deepest) deepest = depth;
      }
  }
  return { count, deepest };
};

/** The lowest value of the square around each pixel, first along rows, then along columns. */
const lowestAround = (plane: Float32Array, width: number, height: number): Float32Array => {
  const along = (from: Float32Array, step: number, size: number, placeOf: (i: number) => number) =>
    from.map((_, i) => {
      const at = placeOf(i);
      let lowest = Number.POSITIVE_INFINITY;
      for (let d = Math.max(-AROUND, -at); d <= Math.min(AROUND, size - 1 - at); d++)
        lowest = Math.min(lowest, from[i + d * step]!);
      return lowest;
    });
  return along(
    along(plane, 1, width, (i) => i % width),
    width,
    height,
    (i) => Math.floor(i / width),
  );
};

/** Lines less all light of a list, nothing filled or held back: what taking stars out would be without care. */
export const carelessly = ({ masters, width, height }: Scene, list: StarList): Float32Array[] =>
  lightOf(list).map((light, k) => {
    const model = new Float32Array(width * height);
    addLight(list, light, { left: 0, top: 0, width, height }, model);
    return masters[k]!.map((value, i) => value - model[i]!);
  });
