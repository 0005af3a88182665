import { endingsFor, formatOf } from '../formats/pictures.ts';
import { fillSink } from '../plane/bytes.ts';
import { outputError } from '../plane/errors.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import type { OpenLines } from '../work/open-lines.ts';
import type { OpenStars } from '../work/open-stars.ts';
import { type CaptionedRecipe, drawSheet, writeSheetTo } from '../work/sheet.ts';
import { blobSink } from './bytes/blob-sink.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import { breathe, type CallContext } from './wire/rpc.ts';

/** Mixes to be shown side by side. */
export interface SheetQuestion {
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
 * Draws recipes side by side on the same masters, as `linewash sheet` does.
 * @throws LinewashError
 */
export const sheetOf = async (
  lines: OpenLines,
  { recipes, file, size, crop }: Omit<SheetQuestion, 'lines' | 'stars'>,
  stars: OpenStars | undefined,
  { signal, progress }: CallContext,
): Promise<Blob> => {
  const format = formatOf(file);
  if (format === undefined || !format.samples.includes('u8') || recipes.length === 0)
    throw outputError(
      file,
      `a sheet is written as ${endingsFor('u8')} and shows at least one mix`,
      'choose one of these',
    );
  const mixes: CaptionedRecipe[] = [];
  for (const { caption, recipe } of recipes) mixes.push({ caption, recipe: await plainOf(recipe) });
  const sheet = await drawSheet(lines, { mixes, size, stars, crop }, { signal, progress, pause: breathe });
  const sink = blobSink(format.mime);
  await fillSink(sink, () => writeSheetTo(sink, format, sheet));
  return sink.blob();
};
