import { formatOf } from '../formats/pictures.ts';
import { outputError } from '../plane/errors.ts';
import { preparedChannels } from '../recipe/prepared.ts';
import type { Recipe, WrittenRecipe } from '../recipe/schema.ts';
import { neededChannels } from '../recipe/settle-channels.ts';
import { drawCell, layOutSheet, type SheetCell, sheetInfo, writeSheet } from '../render/sheet.ts';
import { type Bench, zerosOf } from './bench.ts';
import { blobSink } from './blob-sink.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import { breathe, type CallContext } from './rpc.ts';

/** Mixes to be shown side by side. */
export interface SheetWish {
  readonly lines: Lines;
  readonly recipes: readonly { readonly caption: string; readonly recipe: WrittenRecipe }[];
  /** The file's name; its ending decides the format. */
  readonly file: string;
  /** Longer side of each picture in pixels. */
  readonly size: number;
}

/**
 * Draws recipes side by side on the same masters, as `linewash sheet` does: each is settled on the full-size data.
 * @throws LinewashError
 */
export const drawSheet = async (
  bench: Bench,
  { lines, recipes, file, size }: SheetWish,
  { signal, progress }: CallContext,
): Promise<Blob> => {
  const format = formatOf(file);
  if (format === undefined || !format.samples.includes('u8') || recipes.length === 0)
    throw outputError(file, 'a sheet is written as .png or .tif and shows at least one mix', 'choose one of these');
  const cells: SheetCell[] = [];
  for (const [i, { caption, recipe }] of recipes.entries()) {
    const plain: Recipe = { ...(await plainOf(recipe)), space: 'srgb' };
    const { settled } = await bench.settle(lines, plain, { signal });
    const small = await bench.small(lines, neededChannels(plain), zerosOf(plain), size, { signal });
    cells.push({ picture: await drawCell(preparedChannels(settled, small), settled, { signal }), caption });
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
