import { settledRecipe } from '../../../lib/recipe/settle/settled-recipe.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { checkDraw, type Outcome } from './check-draw.ts';
import type { Draw } from './draw.ts';
import type { MasterForm } from './master-files.ts';

/** Steps that leave less to read; each is kept where the case still fails. */
const STEPS: readonly ((draw: Draw) => Draw)[] = [
  (draw) => ({ ...draw, alpha: false }),
  (draw) => ({ ...draw, ending: 'tif', sample: 'u16' }),
  (draw) => withRecipe(draw, ({ lightness: _, ...rest }) => rest),
  (draw) => withRecipe(draw, ({ greenLimit: _, greenMean: _m, ...rest }) => rest),
  (draw) => withRecipe(draw, (recipe) => ({ ...recipe, space: 'srgb' })),
  (draw) => withRecipe(draw, (recipe) => ({ ...recipe, highlights: 'ratio' })),
  (draw) => withRecipe(draw, (recipe) => ({ ...recipe, gamut: 'clip' })),
  ...[7, 6, 5, 4, 3, 2, 1, 0].map((column) => (draw: Draw) => withoutChannel(draw, column)),
];

const withRecipe = (draw: Draw, change: (recipe: WrittenRecipe) => WrittenRecipe): Draw => ({
  ...draw,
  recipe: change(draw.recipe),
});

const withoutChannel = (draw: Draw, column: number): Draw => {
  const { channels = [], matrix = [], lightness } = draw.recipe;
  if (channels.length < 2 || column >= channels.length) return draw;
  const kept = <T>(row: readonly T[]) => row.filter((_, c) => c !== column);
  return withRecipe(draw, (recipe) => ({
    ...recipe,
    channels: kept(channels),
    matrix: matrix.map(kept),
    ...(Array.isArray(lightness) && { lightness: kept(lightness) }),
  }));
};

/** The master with nothing but one of its pixels, counted from the top. */
const onePixel = (form: MasterForm, pixel: number): MasterForm => {
  const { format, width, height, numbers } = form;
  const row = Math.floor(pixel / width);
  const stored = (format === 'fits' ? height - 1 - row : row) * width + (pixel % width);
  return { ...form, width: 1, height: 1, rowsPerStrip: 1, numbers: [numbers[stored]!] };
};

/** A failing case with as little in it as still fails: one pixel, all numbers stated, steps left out. */
export const shrink = async (
  draw: Draw,
  outcome: Outcome,
  folder: string,
): Promise<{ draw: Draw; outcome: Outcome }> => {
  let best = { draw, outcome };
  const fails = async (candidate: Draw): Promise<void> => {
    const found = await checkDraw(candidate, folder).catch(() => undefined);
    if (found !== undefined && found.refused === undefined && !(found.worst <= 1))
      best = { draw: candidate, outcome: found };
  };
  const pixel = outcome.where?.pixel;
  if (outcome.settled === undefined || pixel === undefined) return best;
  const { settled, recipe } = { settled: outcome.settled, recipe: draw.recipe };
  const named = settled.channels.map(({ name }) => [name, onePixel(draw.masters[name]!, pixel)] as const);
  // Spots have no place in one pixel: a case that fails without them is none of theirs.
  const { spots: _, ...stated } = settledRecipe(settled, { zeros: recipe.zeros });
  await fails({ ...draw, recipe: stated, masters: Object.fromEntries(named) });
  for (const step of STEPS) await fails(step(best.draw));
  return best;
};

/** A case in words and numbers. */
export const described = (
  { seed, masters, recipe, ending, sample, alpha }: Draw,
  { where, worst }: Outcome,
): string => {
  const names = recipe.channels!;
  const one = Object.values(masters)[0]!;
  const size = `${one.width} × ${one.height}`;
  const lines = names.map((name) => {
    const { format, type, numbers, zero, scale, blank, bigEndian } = masters[name]!;
    const order = format === 'tiff' && bigEndian ? ' big-endian' : '';
    const first = numbers.length > 1 ? '' : ` ${numbers[0]}`;
    return `  ${name}: ${format} ${type}${order}, zero ${zero}, scale ${scale}, blank ${blank}${first}`;
  });
  const at = where ? `pixel ${where.pixel}, band ${where.band}: ${where.got}, not ${where.wanted}` : '';
  return [
    `seed ${seed}: off by ${worst} (${at}) in ${size} ${ending} ${sample}${alpha ? ' with alpha' : ''}`,
    ...lines,
    `  ${JSON.stringify(recipe)}`,
  ].join('\n');
};
