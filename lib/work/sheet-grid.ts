import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import type { Picture } from '../render/picture.ts';
import { layOutSheet, type SheetCell } from '../render/sheet.ts';
import type { OpenLines } from './open-lines.ts';
import { type CaptionedRecipe, drawSheet, type Sheet } from './sheet.ts';

/** Where there is nothing to show. */
export const EMPTY_CELL: SheetCell = {
  picture: { width: 1, height: 1, bands: 3, data: new Uint8Array(3) },
  caption: '',
};

/** Most pixels of a sheet; larger ones are drawn smaller. */
const MOST_PIXELS = 1 << 26;
/** The sheet's own grey, around pictures of other shapes than the rest. */
const GROUND = 34;
const SMALLEST = 16;

/** The longer side of each of so many pictures that a sheet has room for, at most `size`, in pixels. */
export const fittingSize = (size: number, count: number): number =>
  Math.max(SMALLEST, Math.min(size, Math.floor(Math.sqrt(MOST_PIXELS / count) / 1.2)));

/** Cells that stand in so many columns, row by row, all of the size of the largest. */
export const gridOf = (cells: readonly SheetCell[], columns: number): Pick<Sheet, 'cells' | 'layout'> => {
  const width = Math.max(SMALLEST, ...cells.map(({ picture }) => picture.width));
  const height = Math.max(SMALLEST, ...cells.map(({ picture }) => picture.height));
  const layout = layOutSheet(cells.length, width, height, columns);
  return { layout, cells: cells.map((cell) => padded(cell, width, height)) };
};

/** A cell of another size, its picture in the middle. */
const padded = (cell: SheetCell, width: number, height: number): SheetCell => {
  const { picture } = cell;
  const left = (width - picture.width) >> 1;
  const top = (height - picture.height) >> 1;
  const data = new Uint8Array(width * height * 3).fill(GROUND);
  for (let y = 0; y < picture.height; y++) {
    const row = picture.data.subarray(y * picture.width * 3, (y + 1) * picture.width * 3);
    if (cell.caption !== '' && picture.width > 1) data.set(row, ((top + y) * width + left) * 3);
  }
  return { caption: cell.caption, picture: { width, height, bands: 3, data } satisfies Picture };
};

/** The masters of a target, one row of a sheet. */
export interface SheetRow {
  readonly name: string;
  readonly lines: OpenLines;
}

/**
 * Draws a row for each target and a column for each recipe, as the sheet of a batch has them. A target that lacks a line of
 * a recipe leaves that place empty, with a caption that says so.
 * @param size longer side of each picture in pixels
 * @param options progress is called with 0…1 over all rows
 */
export const drawSheetOfTargets = async (
  rows: readonly SheetRow[],
  recipes: readonly CaptionedRecipe[],
  size: number,
  options: StripOptions & { readonly pause?: () => Promise<void> } = {},
): Promise<Pick<Sheet, 'cells' | 'layout'>> => {
  const fitting = fittingSize(size, rows.length * recipes.length);
  const cells: SheetCell[] = [];
  for (const [r, { name, lines }] of rows.entries()) {
    const fit = recipes.map(({ recipe }) => neededChannels(recipe).every((line) => lines.names.includes(line)));
    const captioned = recipes.map(({ caption, recipe }) => ({ caption: `${name} · ${caption}`, recipe }));
    const mixes = captioned.filter((_, i) => fit[i]);
    const progress = (done: number) => options.progress?.((r + done) / rows.length);
    const drawn =
      mixes.length === 0 ? [] : (await drawSheet(lines, { mixes, size: fitting }, { ...options, progress })).cells;
    let next = 0;
    for (const [i, { caption }] of captioned.entries())
      cells.push(fit[i] ? drawn[next++]! : { ...EMPTY_CELL, caption: `${caption}: missing` });
    progress(1);
  }
  return gridOf(cells, recipes.length);
};
