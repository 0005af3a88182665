import type { StandingOut } from './flatten.ts';

/** Share of the pixels under a larger one that must have weight. */
const LEAST = 0.5;

/** A plane with the weights of its pixels. */
export interface Weighted extends StandingOut {
  readonly weights: Float32Array;
}

/** The plane with pixels so many times as large: means over those that have weight. Stars are then no part of it. */
export const shrunkTimes = (line: Weighted, times: number): Weighted => {
  if (times === 1) return line;
  const width = Math.floor(line.width / times);
  const height = Math.floor(line.height / times);
  const of = () => new Float32Array(width * height);
  const shrunk = { width, height, values: of(), defined: of(), standing: of(), weights: of() };
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      let [sum, count] = [0, 0];
      for (let v = y * times; v < (y + 1) * times; v++)
        for (let u = x * times; u < (x + 1) * times; u++) {
          const at = v * line.width + u;
          sum += line.weights[at]! * line.values[at]!;
          count += line.weights[at]!;
        }
      if (count < LEAST * times * times) continue;
      shrunk.values[i] = sum / count;
      shrunk.defined[i] = 1;
      shrunk.weights[i] = 1;
    }
  return shrunk;
};
