import { describe, expect, it } from 'vitest';
import { binOf, binsOf } from '../../../lib/prepare/combining/limits.ts';
import { random } from '../../../samples/scene/random.ts';

describe('bins of brightness', () => {
  it.each([0, 1, 2, 19])('of a row are those of its pixels, with %d bounds', (count) => {
    const rng = random(count, 5);
    const draw = () => Math.round(4 * rng.normal());
    // Few different values: many lie on a bound, and some bounds are alike.
    const bounds = Float32Array.from({ length: count }, draw).sort();
    const levels = Float32Array.from({ length: 500 }, draw);
    levels.set([Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY], 100);
    const bins = new Uint8Array(levels.length);
    binsOf(bounds, levels, bins);
    expect([...bins]).toEqual([...levels].map((level) => binOf(bounds, level)));
    expect([...bins]).toEqual([...levels].map((level) => bounds.filter((bound) => bound <= level).length));
  });
});
