import { planeSource } from '../../plane/memory-plane.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { type Size, shrink } from '../../plane/shrink.ts';
import { filled } from '../../prepare/fill.ts';
import { neededChannels } from '../../recipe/settle/channels.ts';
import { preparedChannels, withoutSpots } from '../../recipe/settle/prepared.ts';
import { type FoundSpots, spotsOf } from '../../recipe/settle/settle-prepared.ts';
import type { Settled } from '../../recipe/settle/settled.ts';
import { plainRecipe } from '../../recipe/written/plain.ts';
import type { Picture } from '../../render/picture.ts';
import { drawCell, type SheetCell } from '../../render/sheet.ts';
import { smallBox } from '../../render/small-box.ts';
import { zerosOf } from '../../work/open-lines.ts';
import { EMPTY_CELL } from '../../work/sheet-grid.ts';
import { viewLines } from '../../work/view.ts';
import { usualCacheFolder } from '../cache/cache-folder.ts';
import { findingsCache } from '../cache/findings-cache.ts';
import { withLines } from '../masters/file-lines.ts';
import { closeMasters, type Master, type OpenOptions, openMasters } from '../masters/masters.ts';
import { openStars } from '../masters/star-files.ts';
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

/**
 * Draws one target by several recipes in small, with the settled numbers that its pictures carry: nothing is measured
 * again. A picture that is not there leaves its place empty, with a caption that says so.
 */
export const drawCells = async (task: CellsTask, signal: AbortSignal): Promise<SheetCell[]> => {
  const cells: SheetCell[] = [];
  let small = new Map<string, SmallMaster>();
  for (const picture of task.pictures) {
    if (picture === undefined) {
      cells.push(EMPTY_CELL);
      continue;
    }
    const caption = `${picture.target} · ${picture.recipe}`;
    try {
      const found = await noteOf(picture.output);
      if (found.kind !== 'ours') throw new Error('the picture is not there');
      const settled = { ...(found.note.settled as Settled), space: 'srgb' as const };
      if (settled.ownStars) {
        cells.push({ picture: await drawWithOwnStars(picture, task.size, settled, signal), caption });
        continue;
      }
      small = await withSmall(small, picture, { size: task.size, spots: spotsOf(settled.channels) }, signal);
      const stars = picture.stars === undefined ? undefined : await smallStars(picture.stars, task.size, signal);
      cells.push({ picture: await drawSmall([...small.values()], stars, settled, signal), caption });
    } catch (cause) {
      if (signal.aborted) throw cause;
      cells.push({ ...EMPTY_CELL, caption: `${caption}: missing` });
    }
  }
  return cells;
};

/** A small copy of a master, the size that it had, how it was opened, and the spots that were filled before. */
type SmallMaster = Master & Pick<OpenOptions, 'zeros'> & { readonly full: Size; readonly spots: string | undefined };

/** Shrinks the masters that were not shrunk for an earlier picture of the same target. */
const withSmall = async (
  known: ReadonlyMap<string, SmallMaster>,
  { inputs, written }: BatchPicture,
  { size, spots }: { readonly size: number; readonly spots: FoundSpots },
  signal: AbortSignal,
): Promise<Map<string, SmallMaster>> => {
  const small = new Map(known);
  const { zeros } = written;
  const spotsIn = (name: string) => JSON.stringify(spots[name]);
  const missing = Object.entries(inputs).filter(([name, spelling]) => {
    const before = small.get(name);
    return before?.spelling !== spelling || before.zeros !== zeros || before.spots !== spotsIn(name);
  });
  // Pictures are there: how their masters lie was judged when they were made.
  const masters = await openMasters(Object.fromEntries(missing), { zeros, signal, apart: true });
  try {
    for (const master of masters) {
      const { file, width, height } = master.source;
      const own = spots[master.name];
      const whole = own ? filled(master.source, own) : master.source;
      const source = planeSource(file, await shrink(whole, size, { signal }));
      small.set(master.name, { ...master, zeros, source, full: { width, height }, spots: spotsIn(master.name) });
    }
    return small;
  } finally {
    await closeMasters(masters);
  }
};

/** Red, green and blue of a picture of the stars, in small. */
const smallStars = async (spelling: string, size: number, signal: AbortSignal): Promise<readonly PlaneSource[]> => {
  const stars = await openStars(spelling);
  try {
    return await stars.small(size, { signal });
  } finally {
    await closeMasters([stars.master]);
  }
};

/** A picture whose notes leave the list of stars out: they are found again, or known to the cache. */
const drawWithOwnStars = (
  { inputs, written }: BatchPicture,
  size: number,
  { crop }: Settled,
  signal: AbortSignal,
): Promise<Picture> => {
  const cache = findingsCache(usualCacheFolder());
  return withLines(inputs, { apart: true, cache, signal, depth: 'headers' }, async (lines) => {
    const recipe = await plainRecipe({ ...written, space: 'srgb' });
    const { settled, channels, stars } = await viewLines(lines, recipe, { longest: size }, undefined, { signal });
    const [first] = await lines.full(neededChannels(recipe).slice(0, 1), zerosOf(recipe), { signal });
    const box = crop && smallBox(crop, first!.source, channels[0]!.source);
    return drawCell(channels, settled, { signal }, { stars, box });
  });
};

const drawSmall = async (
  small: readonly SmallMaster[],
  stars: readonly PlaneSource[] | undefined,
  settled: Settled,
  signal: AbortSignal,
): Promise<Picture> => {
  const { full, source } = small[0]!;
  const box = settled.crop && smallBox(settled.crop, full, source);
  return drawCell(preparedChannels(withoutSpots(settled), small), settled, { signal }, { stars, box });
};
