import type { FlatsOptions } from './flaw-options.ts';
import { type Field, fractal, gradientNoise } from './noise.ts';
import { random } from './random.ts';
import { bell } from './shapes.ts';

/** The shadow of a speck of dust out of focus, in shares of the frame's height. */
interface Ring {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  /** Strength of the ring in shares of the flats' depth, −1 to 1: dust may have come or gone since. */
  readonly strength: number;
}

const RINGS = 7;

/** Where the dust lay: rings of several sizes anywhere on the frame, x and y as shares of it. */
export const dustRings = (seed: number): Ring[] => {
  const rng = random(seed, 5);
  return Array.from({ length: RINGS }, () => ({
    x: rng.uniform(),
    y: rng.uniform(),
    radius: 0.02 + 0.03 * rng.uniform(),
    strength: 2 * rng.uniform() - 1,
  }));
};

/** The factor on all light that flats left uncorrected, over places as shares of the frame; `aspect` is width by height. */
export const flatsOf = ({ seed, depth }: FlatsOptions, rings: readonly Ring[], aspect: number): Field => {
  const waves = fractal(gradientNoise(random(seed, 6)), 2);
  return (x, y) => {
    const corner = (2 * x - 1) ** 2 + (2 * y - 1) ** 2;
    let sum = 0.5 * waves(1.3 * aspect * x, 1.3 * y) - 0.25 * corner;
    for (const ring of rings) {
      const [dx, dy] = [aspect * (x - ring.x), y - ring.y];
      const r2 = (dx * dx + dy * dy) / (ring.radius * ring.radius);
      if (r2 < 4) sum += ring.strength * bell(Math.sqrt(r2) - 0.8, 0.25);
    }
    return 1 + depth * sum;
  };
};
