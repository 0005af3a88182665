import type { PictureFormat } from '../formats/pictures.ts';
import type { Box } from '../plane/box.ts';
import type { ByteSink } from '../plane/bytes.ts';
import { shrunkSize } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { findCrop } from '../recipe/settle/find-crop.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { drawCell, layOutSheet, type SheetCell, type SheetLayout, sheetInfo, writeSheet } from '../render/sheet.ts';
import { smallBox } from '../render/small-box.ts';
import type { Additions } from './compose.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';
import { viewLines } from './view.ts';

/** A mix of a sheet with the words below it. */
export interface CaptionedRecipe {
  readonly caption: string;
  readonly recipe: Recipe;
}

/** Mixes side by side, and how. */
export interface SheetWish extends Additions {
  /** At least one. */
  readonly mixes: readonly CaptionedRecipe[];
  /** Longer side of each picture in pixels. */
  readonly size: number;
  /** Pictures in a row; as many as make the sheet's shape near to a screen's, where absent. */
  readonly columns?: number | undefined;
}

/** A drawn sheet. */
export interface Sheet {
  readonly cells: readonly SheetCell[];
  readonly layout: SheetLayout;
  /** What concerns all mixes is a matter of the masters; other warnings begin with the captions that they concern. */
  readonly warnings: readonly string[];
}

/**
 * Draws recipes side by side on the same masters in sRGB, each settled on the full-size data.
 * @param options progress is called with 0…1 over all mixes; `pause` lets other work in between two of them
 * @throws LinewashError 'input' where masters, recipes and stars do not fit together.
 */
export const drawSheet = async (
  lines: OpenLines,
  { mixes, size, columns, stars, crop }: SheetWish,
  options: StripOptions & { readonly pause?: () => Promise<void> } = {},
): Promise<Sheet> => {
  const { signal } = options;
  const found = crop ? await cropOf(lines, mixes, size, { signal }) : undefined;
  const notes = new Set<string>();
  const warnings = new Map<string, string[]>();
  const cells: SheetCell[] = [];
  for (const [i, { caption, recipe }] of mixes.entries()) {
    const progress = (done: number) => options.progress?.((i + done) / mixes.length);
    const view = await viewLines(lines, { ...recipe, space: 'srgb' }, { longest: size }, stars, {
      ...options,
      progress,
    });
    for (const note of view.notes) notes.add(note);
    for (const warning of view.warnings) warnings.set(warning, [...(warnings.get(warning) ?? []), caption]);
    const more = { stars: view.stars, box: found?.box };
    cells.push({ picture: await drawCell(view.channels, view.settled, { signal }, more), caption });
    progress(1);
    await options.pause?.();
  }
  const { width, height } = cells[0]!.picture;
  const named = [...warnings].map(([words, captions]) =>
    captions.length === mixes.length ? words : `${captions.join(', ')}: ${words}`,
  );
  return {
    cells,
    layout: layOutSheet(cells.length, width, height, columns),
    warnings: [...notes, ...(found?.warnings ?? []), ...named],
  };
};

/** Writes a sheet into an open sink, which stays open. */
export const writeSheetTo = async (
  sink: ByteSink,
  format: PictureFormat,
  { cells, layout }: Pick<Sheet, 'cells' | 'layout'>,
  note = '',
): Promise<void> => writeSheet(cells, layout, await format.writer(sink, sheetInfo(layout, note)));

/** What a crop leaves of the small copies: one box for all, so that mixes can be compared. */
const cropOf = async (
  lines: OpenLines,
  mixes: SheetWish['mixes'],
  size: number,
  options: StripOptions,
): Promise<{ box: Box; warnings: readonly string[] } | undefined> => {
  const names = [...new Set(mixes.flatMap(({ recipe }) => neededChannels(recipe)))];
  const ways = mixes.map(({ recipe }) => zerosOf(recipe));
  const full = await lines.full(names, ways.includes('undefined') ? 'undefined' : ways[0]!, options);
  const found = await findCrop(full, options);
  const { width, height } = full[0]!.source;
  return found && { ...found, box: smallBox(found.box, { width, height }, shrunkSize(width, height, size)) };
};
