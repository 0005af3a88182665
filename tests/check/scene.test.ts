import { expect, it } from 'vitest';
import { findDefects } from '../../lib/check/find-defects.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { drawMaster, LINES, sceneTruth, TARGETS } from '../../samples/scene/index.ts';

it('the trail, the hot pixels and the seam of the faint shell are found in O', async () => {
  const size = { width: 1100, height: 688 };
  const truth = sceneTruth({ ...TARGETS.palehoop.options, ...size });
  const lines = LINES.map((name) => ({
    name,
    source: planeSource(name, { ...size, data: Float32Array.from(drawMaster(truth[name], 178)) }),
  }));
  const found = await findDefects(lines);
  expect(
    found.filter(({ certainty }) => certainty === 'sure').map(({ channel, kind }) => `${channel} ${kind}`),
  ).toEqual(['O trail', 'O seam', 'O spots']);
  const { trail, seam, hot } = truth.O.flaws!;
  const [line, step, spots] = found.filter(({ certainty }) => certainty === 'sure');
  const angle = (Math.atan2(trail!.to[1] - trail!.from[1], trail!.to[0] - trail!.from[0]) * 180) / Math.PI + 180;
  expect(Math.abs(line!.angle! - angle)).toBeLessThan(0.3);
  expect(line!.width! / trail!.width).toBeGreaterThan(0.5);
  expect(line!.width! / trail!.width).toBeLessThan(2);
  expect(line!.depth! / trail!.depth).toBeGreaterThan(0.6);
  expect(line!.depth! / trail!.depth).toBeLessThan(1.4);
  expect(Math.abs((step!.from[0] + step!.to[0]) / 2 - (seam!.top + seam!.bottom) / 2)).toBeLessThan(25);
  // Half of the subs on one side: 1.41 times the noise of the sky, a little less where light makes the noise.
  expect(step!.noiseRatio).toBeGreaterThan(1.15);
  expect(step!.noiseRatio).toBeLessThan(1.5);
  const real = spots!.places!.filter(([x, y]) => hot.some((spot) => Math.hypot(spot.x - x, spot.y - y) < 2));
  expect(real.length).toBe(spots!.count);
  expect(real.length / hot.length).toBeGreaterThan(0.6);
});
