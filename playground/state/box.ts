import { atom, computed } from 'nanostores';
import type { Box } from '../../lib/plane/box.ts';
import { toolsText } from '../text-tools.ts';
import { $feature, changePlan } from './hours.ts';
import { $recipe, changeRecipe } from './recipe.ts';
import { addSurfaceBox, SURFACE_KINDS, type SurfaceKind } from './surface-boxes.ts';

/** What a box can be drawn for. */
export const SINGLE_KINDS = ['background', 'feature'] as const;
export const BOX_KINDS = [...SINGLE_KINDS, ...SURFACE_KINDS] as const;
export type SingleKind = (typeof SINGLE_KINDS)[number];
export type BoxKind = (typeof BOX_KINDS)[number];

export const isSurfaceKind = (kind: BoxKind): kind is SurfaceKind => SURFACE_KINDS.includes(kind as SurfaceKind);

export const $boxKind = atom<BoxKind>('background');

/** True while a press on the picture begins a box instead of moving the picture. */
export const $drawing = atom(false);

/** Smallest side that a box can have: less says nothing about level or noise. */
export const SMALLEST = 6;

/** The box that the recipe takes its level from, if it names one. */
export const $background = computed($recipe, ({ background }): Box | undefined => {
  const from = background?.from;
  if (!Array.isArray(from)) return undefined;
  const [x, y, width, height] = from as [number, number, number, number];
  return { x, y, width, height };
});

export const $boxes = computed([$background, $feature], (background, feature) => ({ background, feature }));

/** Puts a box that was drawn or placed where its kind belongs. */
export const putBox = (kind: BoxKind, box: Box): void =>
  isSurfaceKind(kind) ? addSurfaceBox(kind, box) : setBox(kind, box);

export const setBox = (kind: SingleKind, box: Box | undefined): void => {
  if (kind === 'feature') {
    // A box that was drawn stands in the place of an outline.
    changePlan({ feature: box, outline: undefined }, box ? toolsText.box.feature : toolsText.box.noFeature, 'feature');
    return;
  }
  const { background = {}, ...rest } = $recipe.get();
  const { from: _, ...others } = background;
  const from: [number, number, number, number] | undefined = box && [box.x, box.y, box.width, box.height];
  const changed = from ? { ...others, from } : others;
  const recipe = { ...rest, ...(Object.keys(changed).length > 0 && { background: changed }) };
  changeRecipe(recipe, box ? toolsText.box.changed : toolsText.box.removed, 'background.from');
};
