import { inputError } from '../../plane/errors.ts';
import { knobRange } from './facts-of.ts';
import type { WrittenRecipe } from './schema.ts';

/** Values for knobs by name. */
export type KnobValues = Readonly<Record<string, number>>;

/** The values that a recipe gives its knobs. */
export const knobValues = (recipe: WrittenRecipe): Record<string, number> =>
  Object.fromEntries(Object.entries(recipe.knobs ?? {}).map(([name, { value }]) => [name, value]));

/**
 * The recipe with other values for some of its knobs.
 * @throws LinewashError 'input' for a name that is no knob, and a value outside the knob's range.
 */
export const withKnobs = (recipe: WrittenRecipe, values: KnobValues): WrittenRecipe => {
  const knobs = { ...recipe.knobs };
  for (const [name, value] of Object.entries(values)) {
    const knob = Object.hasOwn(knobs, name) ? knobs[name] : undefined;
    if (knob === undefined) throw inputError(`the recipe has no knob ${name}`, `its knobs: ${listed(recipe)}`);
    const [min, max] = knobRange(knob);
    if (!(value >= min && value <= max))
      throw inputError(`the knob ${name} takes ${min} to ${max}, not ${value}`, 'give a value in this range');
    knobs[name] = { ...knob, value };
  }
  return Object.keys(values).length === 0 ? recipe : { ...recipe, knobs };
};

const listed = (recipe: WrittenRecipe): string => {
  const entries = Object.entries(recipe.knobs ?? {});
  return entries.map(([name, knob]) => `${name} (${knobRange(knob).join(' to ')})`).join(', ') || 'none';
};
