import { folds } from '../../lib/finish/bends.ts';
import type { Bend } from '../../lib/finish/finish.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';

type Written = NonNullable<WrittenRecipe['finish']>;
/** A point of the tone curve: lightness in, lightness out. */
export type TonePoint = readonly [number, number];

/** The recipe with another part of its finish; one that says nothing is left out. */
const withPart = (recipe: WrittenRecipe, part: Partial<Written>): WrittenRecipe => {
  const { finish, ...rest } = recipe;
  const said = Object.entries({ ...finish, ...part }).filter(
    ([, value]) => value !== undefined && !(Array.isArray(value) && value.length === 0),
  );
  return said.length === 0 ? rest : { ...rest, finish: Object.fromEntries(said) };
};

/** Whether the gain on chroma is found from the picture. */
export const findsGain = ({ finish }: WrittenRecipe): boolean => {
  const chroma = finish?.chroma;
  return chroma === 'auto' || (chroma !== undefined && chroma.gain === undefined);
};

/** Another gain on chroma, `auto` to have it found; 1 leaves chroma alone. */
export const withGain = (recipe: WrittenRecipe, gain: number | 'auto'): WrittenRecipe => {
  const { gain: _, ...before } = typeof recipe.finish?.chroma === 'object' ? recipe.finish.chroma : {};
  const said = Object.keys(before).length > 0;
  if (gain === 'auto') return withPart(recipe, { chroma: said ? before : 'auto' });
  return withPart(recipe, { chroma: gain === 1 ? undefined : { ...before, gain } });
};

/** Another tone curve; points on the diagonal alone are none. */
export const withTone = (recipe: WrittenRecipe, points: readonly TonePoint[]): WrittenRecipe =>
  withPart(recipe, { tone: points.map(([x, y]): [number, number] => [x, y]) });

/** Other bends. */
export const withBends = (recipe: WrittenRecipe, bends: readonly Bend[]): WrittenRecipe =>
  withPart(recipe, { bends: bends.map((bend) => ({ ...bend })) });

const rounded = (value: number): number => Math.round(value * 1000) / 1000;
const between = (low: number, value: number, high: number): number => Math.min(high, Math.max(low, value));

/** Points nearer than this in lightness cannot be told apart. */
const NEAREST = 0.01;

/** The curve with one point moved as far as its neighbours let it. */
export const movedPoint = (points: readonly TonePoint[], i: number, [x, y]: TonePoint): TonePoint[] => {
  const [before, after] = [points[i - 1] ?? [0, 0], points[i + 1] ?? [1, 1]];
  const to: TonePoint = [
    rounded(between(before[0] + NEAREST, x, after[0] - NEAREST)),
    rounded(between(before[1], y, after[1])),
  ];
  return points.map((point, k) => (k === i ? to : point));
};

/** The curve with one more point, where there is room for it. */
export const addedPoint = (points: readonly TonePoint[], [x, y]: TonePoint): TonePoint[] => {
  const i = points.filter(([other]) => other < x).length;
  const [before, after] = [points[i - 1] ?? [0, 0], points[i] ?? [1, 1]];
  if (x < before[0] + NEAREST || x > after[0] - NEAREST) return [...points];
  return movedPoint([...points.slice(0, i), [x, y], ...points.slice(i)], i, [x, y]);
};

/** The bend that comes nearest to what was asked for and folds no hues together with the others. */
export const allowedBend = (bends: readonly Bend[], i: number, wish: Bend): Bend[] => {
  const step = ((((wish.to - wish.at) % 360) + 540) % 360) - 180;
  const at = (share: number): Bend[] =>
    bends.map((bend, k) =>
      k === i ? { ...wish, to: Math.round((((wish.at + step * share) % 360) + 360) % 360) } : bend,
    );
  for (let share = 1; share > 0; share -= 0.02) if (!folds(at(share))) return at(share);
  return folds(at(0)) ? [...bends] : at(0);
};
