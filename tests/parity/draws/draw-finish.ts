import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import type { Dice } from './dice.ts';

type Finish = NonNullable<WrittenRecipe['finish']>;

/** A finish over the whole range that recipes allow, but for bends that fold hues. */
export const drawFinish = (dice: Dice, stated: boolean): Finish => ({
  ...(dice.chance(0.6) && { tone: drawTone(dice) }),
  ...(dice.chance(0.8) && { chroma: drawChroma(dice, stated) }),
  ...(dice.chance(0.5) && { bends: drawBends(dice) }),
});

const drawTone = (dice: Dice): NonNullable<Finish['tone']> => {
  const count = dice.whole(1, 5);
  const numbers = () => Array.from({ length: count }, () => dice.between(0.01, 1)).sort((a, b) => a - b);
  const y = numbers();
  return numbers().flatMap((x, i, all): [number, number][] => (i === 0 || x > all[i - 1]! ? [[x, y[i]!]] : []));
};

const drawChroma = (dice: Dice, stated: boolean): NonNullable<Finish['chroma']> => {
  if (!stated && dice.chance(0.5)) return 'auto';
  const from = dice.between(0, 0.8);
  return {
    gain: dice.pick([dice.between(0, 2.2), 2.2, 0]),
    from,
    to: from + dice.between(0.02, 0.5),
    until: dice.between(0.01, 0.5),
  };
};

/** One bend anywhere, or two that are too far apart to meet. */
const drawBends = (dice: Dice): NonNullable<Finish['bends']> => {
  const two = dice.chance(0.4);
  const first = dice.between(0, 360);
  const hues = two ? [first, (first + 180) % 360] : [first];
  return hues.map((at) => {
    const width = dice.between(1, two ? 85 : 180);
    const to = (at + dice.between(-0.64, 0.64) * width + 360) % 360;
    return { at, to, width, chroma: dice.between(0, 2) };
  });
};
