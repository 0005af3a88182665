import { momentsOf } from '../../../lib/recipe/suggest/moments.ts';
import type { LineSample } from '../../../lib/recipe/suggest/sample.ts';
import { random } from '../../../samples/scene/random.ts';

/** A sample of lines that share a common part and differ by parts of their own, with noise. */
export const invented = (names: readonly string[], own: readonly number[], noise: readonly number[]): LineSample => {
  const rng = random(3, 6);
  const count = 3000;
  const values = new Float64Array(count * names.length);
  for (let i = 0; i < count; i++) {
    const common = 0.12 + 0.5 * rng.uniform() ** 2;
    for (let c = 0; c < names.length; c++)
      values[i * names.length + c] = Math.min(
        1,
        Math.max(0, common + own[c]! * rng.normal() + noise[c]! * rng.normal()),
      );
  }
  return { names, ...momentsOf(values, names.length), noise, skyNoise: noise, values, stars: new Float64Array(0) };
};
