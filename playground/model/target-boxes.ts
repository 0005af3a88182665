import type { Box } from '../../lib/plane/box.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Plan } from './plan.ts';

type Background = NonNullable<WrittenRecipe['background']>;

/** What a mix knows about places in the masters of one target: it means nothing on those of another. */
export interface TargetBoxes {
  readonly from?: Background['from'];
  readonly include?: Background['include'];
  readonly exclude?: Background['exclude'];
  readonly feature?: Box | undefined;
}

export const NO_BOXES: TargetBoxes = {};

/** The boxes of a mix and its plan of hours. */
export const boxesOf = ({ background = {} }: WrittenRecipe, { feature }: Plan): TargetBoxes => {
  const { from, include, exclude } = background;
  return {
    ...(Array.isArray(from) && { from }),
    ...(include && { include }),
    ...(exclude && { exclude }),
    ...(feature && { feature }),
  };
};

/** A mix with these boxes in the place of its own. */
export const withBoxes = (recipe: WrittenRecipe, boxes: TargetBoxes): WrittenRecipe => {
  const { background = {}, ...rest } = recipe;
  const { from, include: _, exclude: __, ...others } = background;
  const { feature: ___, ...own } = boxes;
  const changed = { ...others, ...(from !== undefined && !Array.isArray(from) && { from }), ...own };
  return Object.keys(changed).length > 0 ? { ...rest, background: changed } : rest;
};
