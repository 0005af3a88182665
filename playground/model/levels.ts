import type { SettledChannel } from '../../lib/recipe/settle/settled.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { CurveKind } from '../../lib/stretch/curve.ts';
import { CURVES } from '../../lib/stretch/curves.ts';

/** What can be taken hold of on a line's histogram: where it becomes black, half as light as white, and white. */
export const HANDLES = ['black', 'middle', 'white'] as const;
export type Handle = (typeof HANDLES)[number];

const kindOf = ({ stretch }: SettledChannel): CurveKind => CURVES[stretch.curve] as CurveKind;

/** The share of the way from black to white at which a curve reaches one half. */
const halfOf = (settled: SettledChannel): number => {
  const curve = kindOf(settled).curve(settled.stretch);
  let [low, high] = [0, 1];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (curve(middle) < 0.5) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/** Values of the master at the handles; those that cannot be moved are absent. */
export const handleValues = (recipe: WrittenRecipe, settled: SettledChannel): Partial<Record<Handle, number>> => {
  const { background, black, white } = settled;
  const bends = kindOf(settled).place !== undefined && recipe.mixIn !== 'light';
  // On a common footing white follows from the other lines.
  const own = recipe.scale === undefined || recipe.scale === 'each';
  return {
    black: background + black,
    ...(bends && { middle: background + black + halfOf(settled) * (white - black) }),
    ...(own && { white: background + white }),
  };
};

/** How near two handles come, as a share of the way from black to white. */
const NEAREST = 1e-4;

/** Six digits are more than a hand can set. */
const tidy = (value: number): number => Number(value.toPrecision(6));

/** The recipe with a handle at a value of the master, as far as its neighbours let it. */
export const withHandle = (
  recipe: WrittenRecipe,
  settled: SettledChannel,
  handle: Handle,
  value: number,
): WrittenRecipe => {
  const { name, background, black, white, stretch } = settled;
  const wished = value - background;
  if (handle === 'middle') {
    const share = Math.min(1 - NEAREST, Math.max(NEAREST, (wished - black) / (white - black)));
    const a = tidy(kindOf(settled).place!(share, 0.5));
    const { background: _, ...own } = recipe.stretch?.[name] ?? {};
    return { ...recipe, stretch: { ...recipe.stretch, [name]: { ...own, curve: stretch.curve, a } } };
  }
  const gap = NEAREST * (white - black);
  const level = tidy(handle === 'black' ? Math.min(wished, white - gap) : Math.max(wished, black + gap));
  return { ...recipe, levels: { ...recipe.levels, [name]: { ...recipe.levels?.[name], [handle]: level } } };
};
