import { formatOf } from '../formats/pictures.ts';
import { checkSizes } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { outputError } from '../plane/errors.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { findCrop } from '../recipe/settle/find-crop.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { drawCell, layOutSheet, type SheetCell, sheetInfo, writeSheet } from '../render/sheet.ts';
import { shrunkSize } from '../render/shrink.ts';
import { smallBox } from '../render/small-box.ts';
import { type Bench, zerosOf } from './bench.ts';
import { blobSink } from './bytes/blob-sink.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import type { StarPicture } from './stars.ts';
import { breathe, type CallContext } from './wire/rpc.ts';

/** Mixes to be shown side by side. */
export interface SheetWish {
  readonly lines: Lines;
  readonly recipes: readonly { readonly caption: string; readonly recipe: WrittenRecipe }[];
  /** The file's name; its ending decides the format. */
  readonly file: string;
  /** Longer side of each picture in pixels. */
  readonly size: number;
  /** Whether the open picture of the stars is laid over. */
  readonly stars?: boolean | undefined;
  /** Whether all are cut to what all their lines cover. */
  readonly crop?: boolean | undefined;
}

/**
 * Draws recipes side by side on the same masters, as `linewash sheet` does: each is settled on the full-size data.
 * @throws LinewashError
 */
export const drawSheet = async (
  bench: Bench,
  { lines, recipes, file, size, crop }: SheetWish,
  { signal, progress }: CallContext,
  over?: StarPicture,
): Promise<Blob> => {
  const format = formatOf(file);
  if (format === undefined || !format.samples.includes('u8') || recipes.length === 0)
    throw outputError(file, 'a sheet is written as .png or .tif and shows at least one mix', 'choose one of these');
  const mixes: { caption: string; plain: Recipe }[] = [];
  for (const { caption, recipe } of recipes)
    mixes.push({ caption, plain: { ...(await plainOf(recipe)), space: 'srgb' } });
  const names = [...new Set(mixes.flatMap(({ plain }) => neededChannels(plain)))];
  const box = crop ? await boxOf(bench, lines, names, mixes, size, signal) : undefined;
  const stars = over && (await smallStars(bench, lines, names, over, size, signal));
  const cells: SheetCell[] = [];
  for (const [i, { caption, plain }] of mixes.entries()) {
    const result = await bench.settle(lines, plain, { signal });
    const small = await bench.small(lines, neededChannels(plain), zerosOf(plain), size, { signal });
    const settled = { ...result.settled, ...(over && { stars: await over.settled(plain.stars, { signal }) }) };
    const picture = await drawCell(preparedChannels(settled, small), settled, { signal }, { stars, box });
    cells.push({ picture, caption });
    progress((i + 1) / recipes.length);
    await breathe();
  }
  const { width, height } = cells[0]!.picture;
  const layout = layOutSheet(cells.length, width, height);
  const sink = blobSink(format.mime);
  await writeSheet(cells, layout, await format.writer(sink, sheetInfo(layout, '')));
  await sink.close();
  return sink.blob();
};

/** What a crop leaves of the small copies: one box for all mixes, so that they can be compared. */
const boxOf = async (
  bench: Bench,
  lines: Lines,
  names: readonly string[],
  mixes: readonly { readonly plain: Recipe }[],
  size: number,
  signal: AbortSignal,
): Promise<Box | undefined> => {
  const zeros = mixes.some(({ plain }) => zerosOf(plain) === 'undefined') ? 'undefined' : zerosOf(mixes[0]!.plain);
  const full = await bench.full(lines, names, zeros, { signal });
  const found = await findCrop(full, { signal });
  const { source } = full[0]!;
  return found && smallBox(found.box, source, shrunkSize(source.width, source.height, size));
};

const smallStars = async (
  bench: Bench,
  lines: Lines,
  [first]: readonly string[],
  over: StarPicture,
  size: number,
  signal: AbortSignal,
): Promise<readonly PlaneSource[]> => {
  const whole = await bench.full(lines, [first!], 'undefined', { signal });
  checkSizes([whole[0]!, ...over.sources.map((source) => ({ name: 'stars', source }))]);
  return over.small(size, { signal });
};
