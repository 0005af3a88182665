import { expect, it } from 'vitest';
import { rgbToOklab } from '../../lib/colour/oklab.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { folds, hueStep, turnAt } from '../../lib/finish/bends.ts';
import { finishFunction } from '../../lib/finish/finished.ts';
import { beforeFinish } from '../../lib/finish/inverse.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { randomFinish } from './random-finish.ts';

const space = SPACES.srgb;
const random = randomNumbers(8080);
const labOf = (rgb: ArrayLike<number>) => {
  const lab = Float64Array.from(rgb);
  rgbToOklab(lab, 0, space, lab, 0);
  return lab;
};

it('finds the colour that a finish turns into another', () => {
  for (let k = 0; k < 400; k++) {
    const finish = randomFinish(random);
    // Where a curve is level, or a factor 0, many colours become one; then only what comes out can agree.
    const rgb = Float64Array.of(random(), random(), random());
    const finished = finishFunction(finish, space);
    const shown = rgb.slice();
    finished(shown);
    const back = Float64Array.from(beforeFinish(finish, space, [shown[0]!, shown[1]!, shown[2]!]));
    finished(back);
    const [one, other] = [labOf(shown), labOf(back)];
    for (let i = 0; i < 3; i++)
      expect(Math.abs(one[i]! - other[i]!), JSON.stringify({ finish, rgb: [...rgb] })).toBeLessThan(1e-6);
  }
});

it('never folds hues: they rise with what they come from, and the limit is where the published bound puts it', () => {
  for (let k = 0; k < 60; k++) {
    const bends = randomFinish(random).bends ?? [];
    let before = -Infinity;
    for (let hue = 0; hue <= 360; hue += 0.25) {
      const now = hue + turnAt(bends, hue);
      expect(now).toBeGreaterThan(before);
      before = now;
    }
  }
  for (const width of [1, 20, 75, 180]) {
    const bend = (share: number) => [{ at: 350, to: (350 + share * width + 360) % 360, width, chroma: 1 }];
    expect([folds(bend(0.648)), folds(bend(-0.648)), folds(bend(0.6495)), folds(bend(-0.6495))]).toEqual([
      false,
      false,
      true,
      true,
    ]);
  }
  expect([hueStep(350, 10), hueStep(10, 350), hueStep(0, 180)]).toEqual([20, -20, 180]);
});
