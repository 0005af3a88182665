import type { WrittenRecipe } from '../recipe/written/schema.ts';
import type { NoiseWish } from '../work/noise.ts';
import type { Lines } from './measure-lines.ts';

/** A mix whose noise is looked at. */
export interface NoiseQuestion extends NoiseWish {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
}
