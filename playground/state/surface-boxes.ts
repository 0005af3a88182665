import { computed } from 'nanostores';
import { type Box, boxOf } from '../../lib/plane/box.ts';
import { toolsText } from '../text-tools.ts';
import { $recipe, changeRecipe } from './recipe.ts';

/** Boxes that the background surface rests on alone, and boxes that it leaves out. */
export const SURFACE_KINDS = ['include', 'exclude'] as const;
export type SurfaceKind = (typeof SURFACE_KINDS)[number];

/** Most boxes of a kind that a recipe holds. */
export const MOST_BOXES = 64;

type Sides = readonly [number, number, number, number];
const sidesOf = ({ x, y, width, height }: Box): [number, number, number, number] => [x, y, width, height];

export const $surfaceBoxes = computed($recipe, ({ background }) => ({
  include: (background?.include ?? []).map((sides) => boxOf(sides as Sides)),
  exclude: (background?.exclude ?? []).map((sides) => boxOf(sides as Sides)),
}));

const write = (kind: SurfaceKind, boxes: readonly Box[], key?: string): void => {
  const recipe = $recipe.get();
  const { [kind]: before = [], ...others } = recipe.background ?? {};
  // Only a surface knows such boxes.
  const background = { ...others, model: 'surface' as const, ...(boxes.length > 0 && { [kind]: boxes.map(sidesOf) }) };
  const label = boxes.length < before.length ? toolsText.box.surfaceRemoved : toolsText.box.surface;
  changeRecipe({ ...recipe, background }, label, key);
};

/** One more box; the recipe takes a surface off from then on. */
export const addSurfaceBox = (kind: SurfaceKind, box: Box): void => {
  const boxes = $surfaceBoxes.get()[kind];
  if (boxes.length < MOST_BOXES) write(kind, [...boxes, box]);
};

/** Another box in the place of one, or none. */
export const setSurfaceBox = (kind: SurfaceKind, index: number, box: Box | undefined): void => {
  const boxes: Box[] = $surfaceBoxes.get()[kind].slice();
  boxes.splice(index, 1, ...(box === undefined ? [] : [box]));
  write(kind, boxes, box && `background.${kind}.${index}`);
};
