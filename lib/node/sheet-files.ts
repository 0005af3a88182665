import { formatOf } from '../formats/pictures.ts';
import { type Channel, checkSizes } from '../measure/measure.ts';
import { outputError } from '../plane/errors.ts';
import type { Executor } from '../plane/executor.ts';
import { planeSource } from '../plane/memory-plane.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { neededChannels, type Preparation, preparationKey, prepareChannels } from '../recipe/settle/channels.ts';
import { combinationNotes } from '../recipe/settle/combinations.ts';
import { findCrop } from '../recipe/settle/find-crop.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import { settle } from '../recipe/settle/settle.ts';
import { settleStars } from '../recipe/settle/stars.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { drawCell, layOutSheet, type SheetCell, sheetInfo, writeSheet } from '../render/sheet.ts';
import { shrink } from '../render/shrink.ts';
import { smallBox } from '../render/small-box.ts';
import { fileSink } from './files/file-sink.ts';
import { inputsFor } from './masters/inputs-for.ts';
import { closeMasters, type Master, openMasters, refuseSameFile } from './masters/masters.ts';
import { misfitsOnce } from './masters/misfits.ts';
import { openStars, type Stars } from './masters/star-files.ts';
import { refuseInputAsOutput, refuseOutput } from './mix-files.ts';
import { withExecutor } from './threads/executor.ts';

export interface SheetOptions {
  /** Recipes with the words below each. */
  readonly recipes: readonly { readonly caption: string; readonly recipe: Recipe }[];
  readonly inputs: Readonly<Record<string, string>>;
  readonly output: string;
  /** Longer side of each picture in pixels; 480 by default. */
  readonly size?: number | undefined;
  readonly columns?: number | undefined;
  /** A picture of the stars to be laid over each mix, as `openStars` reads it. */
  readonly stars?: string | undefined;
  /** Whether all are cut to the largest rectangle that all lines of the sheet cover. */
  readonly crop?: boolean | undefined;
  readonly force?: boolean | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
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
  withExecutor(options.signal, (executor) => sheetTogether({ ...options, executor }));

type Together = SheetOptions & { readonly executor: Executor };

const sheetTogether = async (options: Together): Promise<SheetResult> => {
  const format = formatOf(options.output);
  if (format === undefined || !format.samples.includes('u8'))
    throw outputError(options.output, 'a sheet is written as .png or .tif', 'choose one of these endings');
  const inputs = Object.assign({}, ...options.recipes.map(({ recipe }) => inputsFor(recipe, options.inputs)));
  refuseSameFile(inputs);
  await refuseOutput(options);
  const sets = new Map<Zeros, SheetMasters>();
  let over: SheetStars | undefined;
  try {
    for (const zeros of new Set(options.recipes.map(zerosOf))) sets.set(zeros, await openSet(inputs, zeros, options));
    const all = [...sets.values()].map(({ masters }) => masters);
    if (options.stars !== undefined) over = await openSheetStars(options.stars, all[0]![0]!, options);
    await refuseInputAsOutput(options.output, [...all.flat(), ...(over ? [over.master] : [])]);
    const { cells, warnings } = await drawCells(sets, over, options);
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
    for (const { masters } of sets.values()) await closeMasters(masters);
    if (over) await closeMasters([over.master]);
  }
};

/** How recipes take zeros at the border: each needs masters of its own. */
type Zeros = NonNullable<Recipe['zeros']>;
const zerosOf = ({ recipe }: SheetOptions['recipes'][number]): Zeros => recipe.zeros ?? 'undefined';

/** Open masters, and small copies of them. */
interface SheetMasters {
  readonly masters: readonly Master[];
  readonly small: readonly Channel[];
}

const openSet = async (
  inputs: Readonly<Record<string, string>>,
  zeros: Zeros,
  { size = 480, apart, signal, executor }: Together,
): Promise<SheetMasters> => {
  const masters = await openMasters(inputs, { zeros, apart, signal, executor });
  try {
    const small: Channel[] = [];
    for (const { name, source } of masters)
      small.push({ name, source: planeSource(source.file, await shrink(source, size, { signal })) });
    return { masters, small };
  } catch (cause) {
    await closeMasters(masters);
    throw cause;
  }
};

/** An open picture of the stars, and a small copy of it. */
type SheetStars = Stars & { readonly small: readonly PlaneSource[] };

const openSheetStars = async (
  spelling: string,
  first: Master,
  { size = 480, signal }: Together,
): Promise<SheetStars> => {
  const stars = await openStars(spelling);
  try {
    checkSizes([first, ...stars.sources.map((source) => ({ name: 'stars', source }))]);
    const small: PlaneSource[] = [];
    for (const source of stars.sources)
      small.push(planeSource(source.file, await shrink(source, size, { signal }), source.facts));
    return { ...stars, small };
  } catch (cause) {
    await closeMasters([stars.master]);
    throw cause;
  }
};

/** What a crop leaves of the small copies: one box for all, so that mixes can be compared. */
const cropOf = async (sets: ReadonlyMap<Zeros, SheetMasters>, { crop, signal }: Together) => {
  if (!crop) return undefined;
  const { masters, small } = sets.get('undefined') ?? [...sets.values()][0]!;
  const found = await findCrop(masters, { signal });
  return found && { box: smallBox(found.box, masters[0]!.source, small[0]!.source), warnings: found.warnings };
};

const drawCells = async (sets: ReadonlyMap<Zeros, SheetMasters>, over: SheetStars | undefined, options: Together) => {
  const { recipes, signal, executor, progress } = options;
  const crop = await cropOf(sets, options);
  const cells: SheetCell[] = [];
  const warnings = new Map<string, string[]>();
  const known = new Map<string, Preparation>();
  for (const [i, wanted] of recipes.entries()) {
    const { caption, recipe } = wanted;
    const { masters, small } = sets.get(zerosOf(wanted))!;
    const needed = neededChannels(recipe);
    const channels = masters.filter(({ name }) => needed.includes(name));
    const measure = (done: number) => progress?.('measure', (i + done) / recipes.length);
    const measuring = { signal, executor, progress: measure };
    const preparation = known.get(preparationKey(recipe)) ?? (await prepareChannels(recipe, channels, measuring));
    known.set(preparationKey(recipe), preparation);
    const found = settle({ ...recipe, space: 'srgb' }, preparation.measured, preparation.findings);
    for (const warning of [...preparation.warnings, ...found.warnings])
      warnings.set(warning, [...(warnings.get(warning) ?? []), caption]);
    const stars = over && (await settleStars(recipe.stars ?? {}, over.sources, { signal }));
    const settled = { ...found.settled, ...(stars && { stars }) };
    const more = { stars: over?.small, box: crop?.box };
    cells.push({ picture: await drawCell(preparedChannels(settled, small), settled, { signal }, more), caption });
  }
  // What concerns every recipe is a matter of the masters.
  const named = [...warnings].map(([text, captions]) =>
    captions.length === recipes.length ? text : `${captions.join(', ')}: ${text}`,
  );
  const notes = new Set([...sets.values()].flatMap(({ masters }) => combinationNotes(masters)));
  const [[zeros, { masters }]] = [...sets] as [[Zeros, SheetMasters]];
  const misfits = await misfitsOnce({ zeros }, masters, 'pictures', { signal });
  return { cells, warnings: [...notes, ...misfits, ...(crop?.warnings ?? []), ...named] };
};
