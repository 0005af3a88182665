import { DEFAULT_GAMUT } from '../../colour/gamut.ts';
import { SPACES } from '../../colour/spaces.ts';
import { confusable, type LineColour, matrixStatistics, type Separation } from '../../colour/statistics.ts';
import { finishFunction } from '../../finish/finished.ts';
import { balancedMatrix } from '../settle/settle.ts';
import { statedFinish } from '../settle/settle-finish.ts';
import { channelsOf, knobRange } from '../written/facts-of.ts';
import { knobValues } from '../written/knobs.ts';
import { plainRecipe } from '../written/plain.ts';
import type { WrittenRecipe } from '../written/schema.ts';

/** A knob with its range and what it is for. */
export interface DescribedKnob {
  readonly name: string;
  readonly value: number;
  readonly min: number;
  readonly max: number;
  readonly about: string | undefined;
}

/** The colour a line has alone at full strength. */
export interface DescribedLine extends LineColour {
  readonly name: string;
  /** Weights in red, green and blue after the balance. */
  readonly weights: readonly [number, number, number];
}

/** How far apart two lines are, for people who see with all cones or without one kind. */
export type DescribedPair = Omit<Separation, 'lines'> & { readonly lines: readonly [string, string] };

/** What a recipe says about itself before it has seen any data. */
export interface RecipeDescription {
  readonly name: string | undefined;
  readonly about: string | undefined;
  readonly by: string | undefined;
  readonly licence: string | undefined;
  readonly knobs: readonly DescribedKnob[];
  readonly lines: readonly DescribedLine[];
  /** Names of the lines by rising hue (OKLCH), greys last. */
  readonly hueOrder: readonly string[];
  readonly separations: readonly DescribedPair[];
  /** Pairs that one cannot count on telling apart: closer than 10 in CIEDE2000. */
  readonly confusable: readonly DescribedPair[];
  /** Balanced weights: rows red, green, blue. */
  readonly matrix: readonly (readonly number[])[];
  /** Sums of the rows: equal sums keep equal lines grey. */
  readonly rowSums: readonly number[];
  /** Share of line strengths in 0…1 whose mix leaves 0…1, 0…1. */
  readonly outOfGamut: number;
  readonly rank: number;
  /** Condition number in the 2-norm; null where lines cannot be recovered from the colours at all. */
  readonly condition: number | null;
}

/**
 * Computes what can be said of a recipe from its weights alone.
 * @throws LinewashError as `plainRecipe` does
 */
export const describeRecipe = async (written: WrittenRecipe): Promise<RecipeDescription> => {
  const recipe = await plainRecipe(written);
  const matrix = balancedMatrix(recipe);
  const names = channelsOf(recipe);
  const { space = 'srgb', mixIn = 'display', gamut = DEFAULT_GAMUT } = recipe;
  const finish = statedFinish(recipe);
  const found = matrixStatistics(matrix, mixIn, SPACES[space], gamut, finish && finishFunction(finish, SPACES[space]));
  const named = ({ lines: [one, other], ...rest }: Separation): DescribedPair => ({
    lines: [names[one]!, names[other]!],
    ...rest,
  });
  return {
    name: recipe.name,
    about: recipe.about,
    by: recipe.by,
    licence: recipe.licence,
    knobs: describeKnobs(written),
    lines: names.map((name, c) => ({ name, weights: weightsOf(matrix, c), ...found.colours[c]! })),
    hueOrder: found.hueOrder.map((i) => names[i]!),
    separations: found.separations.map(named),
    confusable: confusable(found.separations).map(named),
    matrix,
    rowSums: found.rowSums,
    outOfGamut: found.outOfGamut,
    rank: found.rank,
    condition: Number.isFinite(found.condition) ? found.condition : null,
  };
};

const weightsOf = (matrix: readonly (readonly number[])[], c: number): readonly [number, number, number] => [
  matrix[0]![c]!,
  matrix[1]![c]!,
  matrix[2]![c]!,
];

const describeKnobs = (recipe: WrittenRecipe): DescribedKnob[] =>
  Object.entries(knobValues(recipe)).map(([name, value]) => {
    const knob = recipe.knobs![name]!;
    const [min, max] = knobRange(knob);
    return { name, value, min, max, about: knob.about };
  });
