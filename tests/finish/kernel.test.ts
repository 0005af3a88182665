import { describe, expect, it } from 'vitest';
import { outputRows } from '../../lib/plane/picture.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { fastKernel } from '../../lib/render/fast-kernel.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';
import { planKernel } from '../../lib/render/wasm/plan.ts';
import { inLight, randomNumbers, STRETCHES, samplesLike, settledFor } from '../parity/settled-cases.ts';
import { randomFinish } from './random-finish.ts';

const COUNT = 3001;
const inputs = [4, 5, 6].map((seed) => samplesLike(COUNT, seed));
const SEED = 20261130;
const DRAWS = 60;

const SPACES = ['srgb', 'display-p3', 'srgb-linear'] as const;

describe('the fast kernel with a finish', () => {
  it(`is within one step of 16 bits of the reference on ${DRAWS} draws of seed ${SEED}`, () => {
    const random = randomNumbers(SEED);
    const pick = <T>(all: readonly T[]): T => all[Math.floor(random() * all.length)]!;
    let planned = 0;
    for (let draw = 0; draw < DRAWS; draw++) {
      const weight = () => Math.round(100 * (1.6 * random() - 0.4)) / 100;
      const matrix = [0, 1, 2].map(() => [weight(), weight(), weight()]);
      const change: Partial<Settled> = {
        matrix,
        finish: randomFinish(random),
        space: pick(SPACES),
        gamut: pick(['smooth', 'clip'] as const),
        highlights: pick(['ratio', 'clip'] as const),
      };
      const stretch = pick(STRETCHES);
      const settled = random() < 0.5 ? settledFor(stretch, change) : inLight(stretch, change);
      const sample = pick(['u8', 'u16'] as const);
      const plan = planKernel(settled, sample);
      if (plan === undefined) continue;
      planned++;
      const wanted = outputRows(sample, COUNT * 4);
      const got = outputRows(sample, COUNT * 4);
      jsKernel(settled, { sample, bands: 4 })(inputs, COUNT, wanted);
      fastKernel(plan, { sample, bands: 4 })(inputs, COUNT, got);
      let worst = 0;
      for (let i = 0; i < got.length; i++) worst = Math.max(worst, Math.abs(got[i]! - wanted[i]!));
      expect(worst, JSON.stringify(settled)).toBeLessThanOrEqual(1);
    }
    // A kernel that declines everything would pass.
    expect(planned).toBeGreaterThan(DRAWS / 3);
  });
});
