import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';

/** The same mix without its finish; undefined where it has none. */
export const unfinished = ({ finish, ...rest }: WrittenRecipe): WrittenRecipe | undefined =>
  finish !== undefined && Object.keys(finish).length > 0 ? rest : undefined;
