import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openFits } from '../../lib/formats/fits/open.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import {
  APART,
  drawMaster,
  drawStarPicture,
  LINES,
  STARLESS,
  STARS_NAME,
  sceneTruth,
  starlessName,
  starPictureFile,
} from '../../samples/scene/index.ts';

const shipped = (name: string) => readFileSync(new URL(`../../samples/masters/${name}`, import.meta.url));
const { left, top, width, height } = APART;

describe('the part of the scene without stars', () => {
  const whole = sceneTruth({ stars: false });
  const part = sceneTruth(STARLESS);

  it.each(LINES)('%s is cut from the scene, and shipped as it is computed', async (line) => {
    for (const [x, y] of [
      [0, 0],
      [width - 1, 0],
      [113, 87],
      [width - 1, height - 1],
    ] as const)
      expect(part[line].mean[y * width + x]! / whole[line].mean[(top + y) * 1200 + left + x]!).toBeCloseTo(1, 5);
    const source = await openFits(memorySource(line, shipped(starlessName(line))));
    const data = new Float32Array(width * height);
    await source.readRows(0, height, data);
    const computed = drawMaster(part[line], STARLESS.noiseSeed);
    expect([source.width, source.height]).toEqual([width, height]);
    expect(data.filter((value, i) => Math.abs(value - computed[i]!) > 1).length).toBe(0);
    expect(data.filter((value, i) => value !== computed[i]).length / data.length).toBeLessThan(0.001);
  });

  it('has its stars in a picture of their own, at the same places as in the masters', async () => {
    const file = await starPictureFile();
    const bytes = shipped(STARS_NAME);
    expect(bytes.length).toBe(file.length);
    expect(bytes.filter((byte, i) => Math.abs(byte - file[i]!) > 1).length).toBe(0);
    const stars = sceneTruth({ ...STARLESS, stars: true }).H.stars;
    const { picture } = drawStarPicture();
    const brightest = stars.indexOf(stars.reduce((a, b) => Math.max(a, b)));
    const green = picture.filter((_, i) => i % 3 === 1);
    expect(green[brightest]).toBe(green.reduce((a, b) => Math.max(a, b)));
    // Sky between stars is black.
    expect(green.toSorted((a, b) => a - b)[green.length >> 1]).toBeLessThan(8);
  });
});
