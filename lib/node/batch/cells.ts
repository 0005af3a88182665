import { planeSource } from '../../plane/memory-plane.ts';
import { preparedChannels } from '../../recipe/prepared.ts';
import type { Settled } from '../../recipe/settled.ts';
import { type Picture, pictureInMemory, renderPicture } from '../../render/picture.ts';
import type { SheetCell } from '../../render/sheet.ts';
import { shrink } from '../../render/shrink.ts';
import { closeMasters, type Master, openMasters } from '../masters.ts';
import type { BatchPicture } from './jobs.ts';
import { noteOf } from './note-of.ts';

/** One row of the sheet. Plain data. */
export interface CellsTask {
  readonly kind: 'cells';
  /** A picture of each recipe, in the order of the columns; undefined for an empty place. */
  readonly pictures: readonly (BatchPicture | undefined)[];
  /** Longest side of each in pixels. */
  readonly size: number;
}

/** Where there is nothing to show. */
const EMPTY: SheetCell = { picture: { width: 1, height: 1, bands: 3, data: new Uint8Array(3) }, caption: '' };

/**
 * Draws one target by several recipes in small, with the settled numbers that its pictures carry: nothing is measured
 * again. A picture that is not there leaves its place empty, with a caption that says so.
 */
export const drawCells = async (task: CellsTask, signal: AbortSignal): Promise<SheetCell[]> => {
  const cells: SheetCell[] = [];
  let small = new Map<string, Master>();
  for (const picture of task.pictures) {
    if (picture === undefined) {
      cells.push(EMPTY);
      continue;
    }
    const caption = `${picture.target} · ${picture.recipe}`;
    try {
      const found = await noteOf(picture.output);
      if (found.kind !== 'ours') throw new Error('the picture is not there');
      small = await withSmall(small, picture, task.size, signal);
      const settled = { ...(found.note.settled as Settled), space: 'srgb' as const };
      cells.push({ picture: await drawSmall([...small.values()], settled, signal), caption });
    } catch (cause) {
      if (signal.aborted) throw cause;
      cells.push({ ...EMPTY, caption: `${caption}: missing` });
    }
  }
  return cells;
};

/** Shrinks the masters that were not shrunk for an earlier picture of the same target. */
const withSmall = async (
  known: ReadonlyMap<string, Master>,
  { inputs, written }: BatchPicture,
  size: number,
  signal: AbortSignal,
): Promise<Map<string, Master>> => {
  const small = new Map(known);
  const missing = Object.entries(inputs).filter(([name, spelling]) => small.get(name)?.spelling !== spelling);
  const masters = await openMasters(Object.fromEntries(missing), { zeros: written.zeros, signal });
  try {
    for (const master of masters) {
      const plane = await shrink(master.source, size, { signal });
      small.set(master.name, { ...master, source: planeSource(master.source.file, plane) });
    }
    return small;
  } finally {
    await closeMasters(masters);
  }
};

const drawSmall = async (small: readonly Master[], settled: Settled, signal: AbortSignal): Promise<Picture> => {
  const channels = preparedChannels(settled, small);
  const { width, height } = channels[0]!.source;
  const form = { width, height, sample: 'u8', bands: 3 } as const;
  const { writer, picture } = pictureInMemory(form);
  await renderPicture(channels, settled, form, writer, { signal });
  return picture;
};
