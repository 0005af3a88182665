import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { cropped } from '../plane/cropped.ts';
import type { PictureInfo, PictureWriter } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { drawCaption } from './caption/caption.ts';
import { type Picture, pictureInMemory, renderPicture } from './picture.ts';

/** One picture of a sheet with the words below it. */
export interface SheetCell {
  readonly picture: Picture;
  readonly caption: string;
}

export interface SheetLayout {
  readonly columns: number;
  readonly width: number;
  readonly height: number;
  /** Size of one picture and of the cell it stands in. */
  readonly cell: { readonly width: number; readonly height: number; readonly captionHeight: number };
  readonly gap: number;
}

/**
 * One picture of a sheet: prepared channels of small masters, mixed in 8 bits.
 * @param over stars: red, green and blue to be laid over, of the same size, where the settled numbers hold stars;
 * box: the part that is shown, all where it is absent
 */
export const drawCell = async (
  whole: readonly Channel[],
  settled: Settled,
  options: StripOptions,
  { stars: sources, box }: { readonly stars?: readonly PlaneSource[] | undefined; readonly box?: Box | undefined } = {},
): Promise<Picture> => {
  const part = (source: PlaneSource) => (box ? cropped(source, box) : source);
  const channels = whole.map(({ name, source }) => ({ name, source: part(source) }));
  const stars = sources?.map(part);
  const { width, height } = channels[0]!.source;
  const form = { width, height, sample: 'u8', bands: 3 } as const;
  const { writer, picture } = pictureInMemory(form);
  await renderPicture(channels, settled, form, writer, options, stars);
  return picture;
};

/** Neutral dark grey: colours are judged against it. */
const GROUND = 34;
const INK = 214;

/** Shape that a sheet without wishes of its own comes near to: that of a screen or a print. */
const SHAPE = 1.5;

/** The grid of pictures of this size whose shape is nearest to that of a screen, with few empty places. */
export const layOutSheet = (count: number, width: number, height: number, columns?: number): SheetLayout => {
  const gap = Math.max(8, Math.round(width / 40));
  const captionHeight = Math.max(28, Math.round(width / 14));
  const withColumns = (n: number): SheetLayout => ({
    columns: n,
    width: gap + n * (width + gap),
    height: gap + Math.ceil(count / n) * (height + captionHeight + gap),
    cell: { width, height, captionHeight },
    gap,
  });
  if (columns !== undefined) return withColumns(columns);
  const badness = (l: SheetLayout) =>
    Math.abs(Math.log(l.width / l.height / SHAPE)) + (Math.ceil(count / l.columns) * l.columns) / count;
  const layouts = Array.from({ length: count }, (_, i) => withColumns(i + 1));
  return layouts.reduce((best, next) => (badness(next) < badness(best) ? next : best));
};

/** Writes 8-bit RGB pictures of one size side by side with their captions. */
export const writeSheet = async (
  cells: readonly SheetCell[],
  layout: SheetLayout,
  writer: PictureWriter,
): Promise<void> => {
  const { columns, width, height, gap, cell } = layout;
  const page = new Uint8Array(width * height * 3).fill(GROUND);
  for (const [i, { picture, caption }] of cells.entries()) {
    const left = gap + (i % columns) * (cell.width + gap);
    const top = gap + Math.floor(i / columns) * (cell.height + cell.captionHeight + gap);
    for (let y = 0; y < picture.height; y++) {
      const row = picture.data.subarray(y * picture.width * 3, (y + 1) * picture.width * 3);
      page.set(row, ((top + y) * width + left) * 3);
    }
    drawText(page, width, caption, left, top + cell.height, cell);
  }
  const rows = Math.max(1, Math.floor((1 << 17) / width));
  for (let y = 0; y < height; y += rows)
    await writer.writeRows(page.subarray(y * width * 3, Math.min(height, y + rows) * width * 3));
  await writer.finish();
};

const drawText = (
  page: Uint8Array,
  width: number,
  text: string,
  left: number,
  top: number,
  cell: SheetLayout['cell'],
) => {
  const size = Math.max(8, Math.round(cell.captionHeight * 0.36));
  const caption = drawCaption(text, size, cell.width);
  const drop = top + Math.round((cell.captionHeight - caption.height) / 2);
  for (let y = 0; y < caption.height; y++)
    for (let x = 0; x < caption.width; x++) {
      const cover = caption.coverage[y * caption.width + x]!;
      const at = ((drop + y) * width + left + x) * 3;
      for (let b = 0; b < 3; b++) page[at + b] = Math.round(page[at + b]! * (1 - cover) + INK * cover);
    }
};

/** What a writer of this sheet must know. */
export const sheetInfo = (layout: SheetLayout, note: string): PictureInfo => ({
  width: layout.width,
  height: layout.height,
  bands: 3,
  sample: 'u8',
  space: 'srgb',
  note,
});
