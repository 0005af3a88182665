import { endingsFor, formatOf } from '../formats/pictures.ts';
import { outputError } from '../plane/errors.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type OpenLines, zerosOf } from '../work/open-lines.ts';
import type { OpenStars } from '../work/open-stars.ts';
import { type CaptionedRecipe, drawSheet, type Sheet, writeSheetTo } from '../work/sheet.ts';
import { writeWhole } from './files/write-whole.ts';
import { withLines } from './masters/file-lines.ts';
import { inputsFor } from './masters/inputs-for.ts';
import { closeMasters, refuseSameFile } from './masters/masters.ts';
import { openStars } from './masters/star-files.ts';
import { refuseInputAsOutput, refuseOutput } from './mix-files.ts';
import { withExecutor } from './threads/executor.ts';

/** A recipe of a sheet, and the words below it. */
export interface SheetRecipe {
  readonly recipe: WrittenRecipe;
  /** The recipe's name where absent. */
  readonly caption?: string | undefined;
}

/** Recipes, the masters they are applied to, and the sheet to be written. */
export interface SheetOptions {
  /** At least one. */
  readonly recipes: readonly SheetRecipe[];
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** The sheet: .tif, .png or .jpg. */
  readonly output: string;
  /** Longer side of each picture in pixels; 480 by default. */
  readonly size?: number | undefined;
  /** Pictures in a row; as many as make the sheet's shape near to a screen's, where absent. */
  readonly columns?: number | undefined;
  /** A picture of the stars to be laid over each mix, as `openStars` reads it. */
  readonly stars?: string | undefined;
  /** Whether all are cut to the largest rectangle that all lines of the sheet cover. */
  readonly crop?: boolean | undefined;
  /** Whether an existing sheet may be replaced; inputs never are. */
  readonly force?: boolean | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

/** The written sheet. */
export interface SheetResult {
  readonly output: string;
  readonly width: number;
  readonly height: number;
  readonly warnings: readonly string[];
}

/**
 * Writes several recipes side by side on the same masters, each settled on the full-size data, as an 8-bit sRGB sheet.
 * @throws LinewashError as `mixFiles` does.
 */
export const sheetFiles = async (options: SheetOptions): Promise<SheetResult> => {
  const { output, apart, signal } = options;
  const mixes: CaptionedRecipe[] = [];
  for (const { recipe, caption } of options.recipes)
    mixes.push({ caption: caption ?? recipe.name ?? '', recipe: await plainRecipe(recipe) });
  return withExecutor(signal, async (executor) => {
    const format = formatOf(output);
    if (format === undefined || !format.samples.includes('u8'))
      throw outputError(output, `a sheet is written as ${endingsFor('u8')}`, 'choose one of these endings');
    const inputs = Object.assign({}, ...mixes.map(({ recipe }) => inputsFor(recipe, options.inputs)));
    refuseSameFile(inputs);
    await refuseOutput(options);
    return withLines(inputs, { apart, signal, executor }, async (lines) => {
      const stars = options.stars === undefined ? undefined : await openStars(options.stars);
      try {
        const zeros = zerosOf(mixes[0]!.recipe);
        await refuseInputAsOutput(output, [...(await lines.masters(zeros)), ...(stars ? [stars.master] : [])]);
        const sheet = await draw(lines, mixes, stars, options);
        await writeWhole(output, options.force ?? false, (sink) => writeSheetTo(sink, format, sheet));
        return { output, width: sheet.layout.width, height: sheet.layout.height, warnings: sheet.warnings };
      } finally {
        if (stars) await closeMasters([stars.master]);
      }
    });
  });
};

const draw = (
  lines: OpenLines,
  mixes: readonly CaptionedRecipe[],
  stars: OpenStars | undefined,
  { size = 480, columns, crop, signal, progress }: SheetOptions,
): Promise<Sheet> =>
  drawSheet(lines, { mixes, size, columns, crop, stars }, { signal, progress: (done) => progress?.('measure', done) });
