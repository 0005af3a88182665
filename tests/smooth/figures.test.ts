import { expect, it } from 'vitest';
import { colourFigures } from './figures/colour.ts';

it('smoothing leaves little of the colour noise where the weak lines are faint, and keeps what is bright', async () => {
  const { ab, L, block, share } = await colourFigures({
    seed: 2,
    noiseSeed: 105,
    subs: [1, 36, 1],
    width: 420,
    height: 280,
  });
  expect(share.dark).toBeGreaterThan(0.02);
  expect(ab.dark).toBeLessThan(0.2);
  expect(ab.faint).toBeLessThan(0.2);
  expect(ab.mid).toBeLessThan(0.3);
  expect(Math.max(ab.bright, ab.stars)).toBeLessThan(0.7);
  expect(L.dark).toBeLessThan(0.3);
  expect(block.after).toBeLessThan(block.before);
});
