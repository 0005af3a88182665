import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { settleChannels } from '../../lib/recipe/settle/settle-channels.ts';
import { unpackStars } from '../../lib/stars/star-list.ts';
import { drawMaster, EMBERWING, LINES, sceneTruth } from '../../samples/scene/index.ts';

const golden: { stars: [x: number, y: number, q: number][] } = JSON.parse(
  readFileSync(new URL('../golden/stars.json', import.meta.url), 'utf8'),
);

it('lists the stars that an independent program lists', async () => {
  const size = { width: 600, height: 400 };
  const truth = sceneTruth({ ...EMBERWING, ...size });
  const channels = LINES.map((name) => {
    const { covered } = truth[name];
    const data = Float32Array.from(drawMaster(truth[name], 1), (value, i) => (covered[i] ? value : Number.NaN));
    return { name, source: planeSource(name, { ...size, data }) };
  });
  const matrix = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const { settled } = await settleChannels({ matrix, stars: { from: 'masters', neutral: 1 } }, channels);
  const list = unpackStars(settled.ownStars!.list!)!;
  const found = golden.stars.filter(([x, y]) =>
    list.x.some((listed, s) => Math.hypot(listed - x, list.y[s]! - y) < 0.5),
  );
  expect(golden.stars.length).toBeGreaterThan(90);
  expect(found.length / golden.stars.length).toBeGreaterThanOrEqual(0.97);
  // Nor does it list much that the other does not: it looks as far down as 5, the other's list ends at 12.
  const bright = Array.from(list.snr.keys()).filter((s) => list.snr[s]! > 14);
  const shared = bright.filter((s) => golden.stars.some(([x, y]) => Math.hypot(list.x[s]! - x, list.y[s]! - y) < 0.5));
  expect(shared.length / bright.length).toBeGreaterThanOrEqual(0.97);
});
