import { type ExpressionResult, evaluateExpression } from '../../mix/expression.ts';
import { type Fault, recipeError } from '../../plane/errors.ts';
import type { RecipeFault } from './fault.ts';
import { type JsonText, jsonPath } from './json.ts';
import { type KnobValues, knobValues, withKnobs } from './knobs.ts';
import type { Recipe, WrittenRecipe } from './schema.ts';
import { numberWeights, weightTexts } from './weights.ts';

/**
 * The recipe with every weight a number: expressions evaluated once, line colours turned into rows. The parser of
 * expressions and the reader of colours are loaded only for a recipe that has some.
 * @param values knobs that differ from the recipe's own
 * @param file and @param text say where the recipe was read, for the place of a fault
 * @throws LinewashError 'recipe' with the path of each fault; 'input' as `withKnobs` does
 */
export const plainRecipe = async (
  written: WrittenRecipe,
  values: KnobValues = {},
  file?: string,
  text?: JsonText,
): Promise<Recipe> => {
  const recipe = withKnobs(written, values);
  const scope = new Map(Object.entries(knobValues(recipe)));
  const results = new Map<string, ExpressionResult>();
  for (const { text: weight } of weightTexts(recipe))
    if (!results.has(weight)) results.set(weight, await evaluateExpression(weight, scope));
  const colours = recipe.lines && (await (await import('./line-colours.ts')).solveLines(recipe));
  const tint = await tintOf(recipe);
  const outcome = numberWeights(recipe, results, colours, tint && 'rgb' in tint ? tint.rgb : undefined);
  const faults = tint && 'fault' in tint ? [{ path: ['stars', 'tint'], message: tint.fault }] : [];
  if ('recipe' in outcome && faults.length === 0) return outcome.recipe;
  throw recipeError(placed([...('faults' in outcome ? outcome.faults : []), ...faults], text), file);
};

/** The tint of stars as linear light of the recipe's space, largest 1; undefined where it is none, or is so already. */
const tintOf = async ({ stars, space = 'srgb' }: WrittenRecipe) => {
  if (typeof stars?.tint !== 'string') return undefined;
  return (await import('./star-tint.ts')).starTint(stars.tint, space);
};

/** Findings as faults, with line and column where the text is known. */
export const placed = (faults: readonly RecipeFault[], text: JsonText | undefined): Fault[] =>
  faults.map(({ path, message }) => ({ path: jsonPath(path), message, ...text?.place(path) }));
