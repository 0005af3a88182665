import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createGlance } from '../../../lib/measure/registration/glance.ts';
import { isMisfit } from '../../../lib/measure/registration/words.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { lineTruth } from '../../../samples/scene/index.ts';
import { FULL, inTurn } from '../../cases.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';
import { sceneSources, sourceOf } from './scene.ts';

const SIZE = { width: 480, height: 320 };

describe('a glance at two masters', () => {
  it('says yes where stars lie on one another', async () => {
    const { S, H, O } = sceneSources(SIZE);
    const glance = createGlance(H);
    for (const channel of [S, O]) {
      const found = await glance(channel);
      expect(Math.hypot(found!.dx, found!.dy)).toBeLessThan(0.2);
      expect(isMisfit(found!, SIZE)).toBe(false);
    }
  });

  it.skipIf(!inTurn('says yes'))(
    'never says yes where a corner is off by a pixel or more',
    { timeout: 120_000 },
    async () => {
      const shift = fc.record({
        size: fc.double({ min: 1, max: 12, noNaN: true }),
        towards: fc.double({ min: 0, max: 360, noNaN: true }),
      });
      const moved = shift.map(({ size, towards }) => ({
        dx: size * Math.cos((towards * Math.PI) / 180),
        dy: size * Math.sin((towards * Math.PI) / 180),
      }));
      // A pixel at the corners, 288 pixels from the centre.
      const turned = fc.double({ min: 0.2, max: 3, noNaN: true }).map((angle) => ({ angle }));
      const glance = createGlance(sceneSources(SIZE).H);
      await fc.assert(
        fc.asyncProperty(fc.oneof(moved, turned), async (misfit) => {
          const O = lineTruth({ ...SIZE, misfit: { O: misfit } }, 'O');
          expect(await glance(sourceOf(O))).toBeUndefined();
        }),
        { numRuns: FULL ? 20 : 6 },
      );
    },
  );

  it('says nothing of other sizes, of small pictures and of pictures without a common star', async () => {
    const { H } = sceneSources(SIZE);
    const noise = (seed: number, width: number, height: number) => {
      const next = randomNumbers(seed);
      return planeSource('n.fits', { width, height, data: Float32Array.from({ length: width * height }, next) });
    };
    expect(await createGlance(H)(noise(1, 480, 321))).toBeUndefined();
    expect(await createGlance(noise(1, 40, 40))(noise(1, 40, 40))).toBeUndefined();
    for (const seed of [1, 2, 3, 4, 5]) expect(await createGlance(H)(noise(seed, 480, 320))).toBeUndefined();
  });
});
