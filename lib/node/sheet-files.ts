import { formatOf } from '../formats/pictures.ts';
import type { Counting } from '../plane/counting.ts';
import { outputError } from '../plane/errors.ts';
import { planeSource } from '../plane/memory-plane.ts';
import { combinationNotes } from '../recipe/combinations.ts';
import { preparedChannels } from '../recipe/prepared.ts';
import type { Recipe } from '../recipe/schema.ts';
import { settle } from '../recipe/settle.ts';
import { neededChannels, type Preparation, preparationKey, prepareChannels } from '../recipe/settle-channels.ts';
import { pictureInMemory, renderPicture } from '../render/picture.ts';
import { layOutSheet, type SheetCell, sheetInfo, writeSheet } from '../render/sheet.ts';
import { shrink } from '../render/shrink.ts';
import { withCounting } from './count-together.ts';
import { fileSink } from './file-sink.ts';
import { closeMasters, type Master, openMasters, refuseSameFile } from './masters.ts';
import { inputsFor, refuseOutput } from './mix-files.ts';

export interface SheetOptions {
  /** Recipes with the words below each. */
  readonly recipes: readonly { readonly caption: string; readonly recipe: Recipe }[];
  readonly inputs: Readonly<Record<string, string>>;
  readonly output: string;
  /** Longer side of each picture in pixels; 480 by default. */
  readonly size?: number | undefined;
  readonly columns?: number | undefined;
  readonly force?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

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
export const sheetFiles = (options: SheetOptions): Promise<SheetResult> =>
  withCounting(options.signal, (counting) => sheetCounted({ ...options, counting }));

type Counted = SheetOptions & { readonly counting: Counting };

const sheetCounted = async (options: Counted): Promise<SheetResult> => {
  const format = formatOf(options.output);
  if (format === undefined || !format.samples.includes('u8'))
    throw outputError(options.output, 'a sheet is written as .png or .tif', 'choose one of these endings');
  const inputs = Object.assign({}, ...options.recipes.map(({ recipe }) => inputsFor(recipe, options.inputs)));
  refuseSameFile(inputs);
  await refuseOutput(options);
  const masters = await openMasters(inputs, { signal: options.signal, counting: options.counting });
  try {
    const { cells, warnings } = await drawCells(masters, options);
    const { width, height } = cells[0]!.picture;
    const layout = layOutSheet(cells.length, width, height, options.columns);
    const sink = await fileSink(options.output, options.force ?? false);
    try {
      const writer = await format.writer(sink, sheetInfo(layout, ''));
      await writeSheet(cells, layout, writer);
    } catch (cause) {
      await sink.abort();
      throw cause;
    }
    await sink.close();
    return { output: options.output, width: layout.width, height: layout.height, warnings };
  } finally {
    await closeMasters(masters);
  }
};

const drawCells = async (masters: readonly Master[], options: Counted) => {
  const { recipes, size = 480, signal, counting, progress } = options;
  const small = await Promise.all(
    masters.map(async ({ name, source }) => ({ name, source: planeSource(source.file, await shrink(source, size)) })),
  );
  const cells: SheetCell[] = [];
  const warnings = new Map<string, string[]>();
  const known = new Map<string, Preparation>();
  for (const [i, { caption, recipe }] of recipes.entries()) {
    const needed = neededChannels(recipe);
    const channels = masters.filter(({ name }) => needed.includes(name));
    const measure = (done: number) => progress?.('measure', (i + done) / recipes.length);
    const measuring = { signal, counting, progress: measure };
    const preparation = known.get(preparationKey(recipe)) ?? (await prepareChannels(recipe, channels, measuring));
    known.set(preparationKey(recipe), preparation);
    const found = settle({ ...recipe, space: 'srgb' }, preparation.measured, preparation.findings);
    for (const warning of [...preparation.warnings, ...found.warnings])
      warnings.set(warning, [...(warnings.get(warning) ?? []), caption]);
    const { width, height } = small[0]!.source;
    const form = { width, height, sample: 'u8', bands: 3 } as const;
    const { writer, picture } = pictureInMemory(form);
    await renderPicture(preparedChannels(found.settled, small), found.settled, form, writer, { signal });
    cells.push({ picture, caption });
  }
  // What concerns every recipe is a matter of the masters.
  const named = [...warnings].map(([text, captions]) =>
    captions.length === recipes.length ? text : `${captions.join(', ')}: ${text}`,
  );
  return { cells, warnings: [...combinationNotes(masters), ...named] };
};
