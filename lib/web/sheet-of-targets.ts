import { formatOf } from '../formats/pictures.ts';
import { fillSink } from '../plane/bytes.ts';
import { outputError } from '../plane/errors.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { writeSheetTo } from '../work/sheet.ts';
import { drawSheetOfTargets, type SheetRow } from '../work/sheet-grid.ts';
import { blobSink } from './bytes/blob-sink.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import { breathe, type CallContext } from './wire/rpc.ts';

/** Targets in rows, recipes in columns. */
export interface TargetSheetQuestion {
  readonly targets: readonly { readonly name: string; readonly lines: Lines }[];
  readonly recipes: readonly { readonly caption: string; readonly recipe: WrittenRecipe }[];
  /** The file's name; its ending decides the format. */
  readonly file: string;
  /** Longer side of each picture in pixels. */
  readonly size: number;
}

/**
 * Draws targets and recipes side by side, as the sheet of `linewash batch` does.
 * @throws LinewashError
 */
export const sheetOfTargets = async (
  rows: readonly SheetRow[],
  { recipes, file, size }: Omit<TargetSheetQuestion, 'targets'>,
  { signal, progress }: CallContext,
): Promise<Blob> => {
  const format = formatOf(file);
  if (format === undefined || !format.samples.includes('u8') || recipes.length === 0 || rows.length === 0)
    throw outputError(file, 'a sheet is written as .png or .tif and shows at least one mix', 'choose one of these');
  const mixes = [];
  for (const { caption, recipe } of recipes) mixes.push({ caption, recipe: await plainOf(recipe) });
  const sheet = await drawSheetOfTargets(rows, mixes, size, { signal, progress, pause: breathe });
  const sink = blobSink(format.mime);
  await fillSink(sink, () => writeSheetTo(sink, format, sheet));
  return sink.blob();
};
