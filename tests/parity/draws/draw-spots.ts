import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import type { Dice } from './dice.ts';

type Places = Record<string, [x: number, y: number][]>;

/** Stated spots of some lines: alone, side by side, at edges and corners, twice at one place. */
export const drawSpots = (
  dice: Dice,
  names: readonly string[],
  width: number,
  height: number,
): { readonly spots: NonNullable<WrittenRecipe['spots']> } => {
  const spots: Places = {};
  for (const name of names) {
    if (dice.chance(0.4)) continue;
    const places: [number, number][] = [];
    const count = dice.pick([0, 1, 2, dice.whole(1, 12), dice.whole(1, 60)]);
    for (let k = 0; k < count; k++) {
      const [beside] = places.slice(-1);
      const near = beside !== undefined && dice.chance(0.4);
      const at = (side: number, before: number | undefined) =>
        Math.min(side - 1, Math.max(0, near ? before! + dice.whole(-3, 3) : dice.whole(0, side - 1)));
      places.push([at(width, beside?.[0]), at(height, beside?.[1])]);
    }
    spots[name] = places;
  }
  return { spots };
};
