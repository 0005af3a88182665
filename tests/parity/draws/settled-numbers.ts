import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { GAMUTS } from './formulas.ts';

type Rows = number[][];

const sum = (row: readonly number[]): number => row.reduce((a, b) => a + b, 0);
const divided = (rows: Rows, by: readonly number[]): Rows => rows.map((row, r) => row.map((w) => w / by[r]!));
const same = (v: number): number[] => [v, v, v];

/** Divisors below this are faults. */
const LEAST = 1e-9;

/** The table of docs/maths/mix.md: what the rows are divided by. */
const DIVISORS: Readonly<Record<string, (rows: Rows, white: readonly number[]) => number[]>> = {
  'as-written': () => same(1),
  rows: (rows) => rows.map(sum),
  peak: (rows) => same(Math.max(...rows.map((row) => sum(row.map((w) => Math.max(0, w)))))),
  absolute: (rows) => same(Math.max(...rows.map((row) => sum(row.map(Math.abs))))),
  white: (rows, white) => rows.map((row) => sum(row.map((w, c) => w * white[c]!))),
};

/** The balanced matrix of a recipe; undefined where it has none. */
export const balanced = (recipe: WrittenRecipe): Rows | undefined => {
  const rows = recipe.matrix as Rows;
  const { balance = 'as-written', space = 'srgb', white } = recipe;
  if (balance === 'equal-light') return equalLight(rows, GAMUTS[space]!.luminance);
  const divisors = DIVISORS[balance];
  if (divisors === undefined) throw new RangeError(`the balance ${balance} has no recomputation: write one here`);
  const by = divisors(
    rows,
    recipe.channels!.map((name) => white?.[name] ?? 1),
  );
  return by.every((v) => v >= LEAST) ? divided(rows, by) : undefined;
};

/** Each column over its luminance, times their mean; columns without light stay. */
const equalLight = (rows: Rows, luminance: readonly number[]): Rows | undefined => {
  const lights = rows[0]!.map((_, c) => sum(rows.map((row, r) => luminance[r]! * row[c]!)));
  const lit = lights.filter((y) => y !== 0);
  if (lit.length === 0 || lit.some((y) => y < LEAST)) return undefined;
  const mean = sum(lit) / lit.length;
  return rows.map((row) => row.map((w, c) => (lights[c] === 0 ? w : (w * mean) / lights[c]!)));
};

/** Numbers that the recipe states and that did not come through to the settled ones, each in words. */
export const strayNumbers = (recipe: WrittenRecipe, settled: Settled): string[] => {
  const found: string[] = [];
  const hold = (what: string, got: number, wanted: number, rounding = 2 ** -24) => {
    if (!(Math.abs(got - wanted) <= rounding * Math.abs(wanted))) found.push(`${what} is ${got}, not ${wanted}`);
  };
  const rows = balanced(recipe);
  for (const [c, channel] of settled.channels.entries()) {
    const column = recipe.channels!.indexOf(channel.name);
    for (let r = 0; r < 3; r++)
      hold(
        `the weight of ${channel.name} in row ${r}`,
        settled.matrix[r]![c]!,
        rows?.[r]?.[column] ?? Number.NaN,
        1e-12,
      );
    const { black, white } = recipe.levels?.[channel.name] ?? {};
    if (typeof black === 'number') hold(`black of ${channel.name}`, channel.black, black);
    // A white that is not above black is replaced, and a common scale changes it.
    if (typeof white === 'number' && Math.fround(white) > channel.black && recipe.scale === undefined)
      hold(`white of ${channel.name}`, channel.white, white);
    const at = recipe.background?.at?.[channel.name];
    if (at !== undefined) hold(`background of ${channel.name}`, channel.background, at);
    const wish = recipe.stretch?.[channel.name] ?? recipe.stretch?.['*'] ?? {};
    const { curve, a } = channel.stretch;
    if (
      recipe.mixIn === 'display' &&
      curve === wish.curve &&
      wish.a !== undefined &&
      a !== undefined &&
      curve === wish.curve
    )
      hold(`a of ${channel.name}`, a, wish.a);
  }
  return found;
};
