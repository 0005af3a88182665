import type { Origin, StarGroup } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { createScratch, type Scratch } from '../plane/scratch.ts';
import { sharedRows } from '../plane/shared-rows.ts';
import { isWide, samplesFor, tallRows } from '../plane/strips.ts';
import { type Splitter, splitterOf } from './splitter.ts';
import { type PackedStars, unpackStars } from './star-list.ts';

/** Columns of a window that stars are taken out of at once, beside what it reads on both sides. */
const WINDOW_COLUMNS = 1024;

/** Most pixels of a line that are worked on at once, what is read on both sides apart. */
const MOST_PIXELS = 1 << 19;

/** Lines without the stars of a list, and what else one look at them gives. */
export interface SplitLines {
  readonly starless: readonly PlaneSource[];
  /** The lines as they are, from the same look. */
  readonly lines: readonly PlaneSource[];
  /** How much of each pixel belongs to stars: 0…1. */
  readonly mask: PlaneSource;
}

/** Which part of a frame lines show, and how far the light of stars is followed. */
export interface SplitPlace {
  readonly farthest: number;
  readonly left?: number;
  readonly top?: number;
}

/**
 * Takes the stars of a list out of lines, all of them together. Any cut into bands gives the same bytes. Where the mask is 0
 * or a line is undefined, lines stay as they are.
 * @throws RangeError where the list is not one: a defect of the caller
 */
export const splitLines = (
  members: readonly PlaneSource[],
  list: PackedStars,
  { farthest, left = 0, top = 0 }: SplitPlace,
): SplitLines => {
  const { width, height } = members[0]!;
  const splitter = splitterOfPacked(list, farthest);
  const count = members.length;
  const place = { left, top, scratch: createScratch() };
  const read = sharedRows({ width, height }, tallRows(width, splitter.reach, MOST_PIXELS), (y, rows) =>
    splitRows(members, splitter, place, y, rows),
  );
  const origins = members.flatMap(({ origin }) => origin ?? []);
  const group: StarGroup | undefined =
    origins.length === count ? { members: origins, list, farthest, left, top, reach: splitter.reach } : undefined;
  const rowsTogether = Math.max(...members.map((member) => member.rowsTogether ?? 1));
  const source = (member: PlaneSource, which: number): PlaneSource => ({
    ...member,
    raw: undefined,
    rowsTogether,
    origin: group && { step: 'stars', group, member: which },
    readRows: (y, rows, into) => read(which, y, rows, into),
  });
  const mask = { ...source(members[0]!, 2 * count), type: 'f32', fullScale: undefined } as const;
  return {
    starless: members.map((member, k) => ({
      ...source(member, k),
      type: isWide(member) ? 'f64' : 'f32',
      fullScale: undefined,
    })),
    lines: members.map((member, k) => source(member, count + k)),
    mask,
  };
};

/** Lists stay the same object while a recipe's other numbers change. */
const splitters = new WeakMap<PackedStars, Map<number, Splitter>>();

const splitterOfPacked = (packed: PackedStars, farthest: number): Splitter => {
  const known = splitters.get(packed) ?? new Map<number, Splitter>();
  splitters.set(packed, known);
  const found = known.get(farthest);
  if (found !== undefined) return found;
  const list = unpackStars(packed);
  if (list === undefined) throw new RangeError('the list of stars is damaged');
  const made = splitterOf(list, farthest);
  known.set(farthest, made);
  return made;
};

/** Pixels on each side of a part that its pixels depend on, where the stars of a list are taken out. */
export const reachOfStars = (list: PackedStars, farthest: number): number => splitterOfPacked(list, farthest).reach;

/** Rows [y, y + rows): the lines without stars, the lines, the mask. */
const splitRows = async (
  members: readonly PlaneSource[],
  splitter: Splitter,
  { left, top, scratch }: { readonly left: number; readonly top: number; readonly scratch: Scratch },
  y: number,
  rows: number,
): Promise<Samples[]> => {
  const { splitWindow } = await import('./split.ts');
  const { width, height } = members[0]!;
  const { reach } = splitter;
  const first = Math.max(0, y - reach);
  const last = Math.min(height, y + rows + reach);
  const read: Samples[] = [];
  for (const [k, member] of members.entries()) {
    const data = samplesIn(scratch, `read ${k}`, member, (last - first) * width);
    await member.readRows(first, last - first, data);
    read.push(data);
  }
  const starless = members.map((member, k) => samplesIn(scratch, `starless ${k}`, member, rows * width));
  const mask = scratch.floats('mask of rows', rows * width);
  for (let from = 0; from < width; from += WINDOW_COLUMNS) {
    const to = Math.min(width, from + WINDOW_COLUMNS);
    const [x0, x1] = [Math.max(0, from - reach), Math.min(width, to + reach)];
    const size = { width: x1 - x0, height: last - first };
    const lines = read.map((data, k) => columnsOf(data, width, x0, size, scratch, k));
    const split = splitWindow(splitter, { left: left + x0, top: top + first, ...size, lines }, scratch);
    const copy = (part: Samples, into: Samples) => {
      for (let r = 0; r < rows; r++) {
        const start = (y - first + r) * size.width - x0;
        into.set(part.subarray(start + from, start + to), r * width + from);
      }
    };
    for (const [k, part] of split.starless.entries()) copy(part, starless[k]!);
    copy(split.mask, mask);
  }
  return [...starless, ...read.map((data) => data.subarray((y - first) * width, (y - first + rows) * width)), mask];
};

/** Samples that nothing else uses before the next rows; values that float32 does not hold are rare. */
const samplesIn = (scratch: Scratch, name: string, member: PlaneSource, length: number): Samples =>
  isWide(member) ? new Float64Array(length) : scratch.floats(name, length);

const columnsOf = (
  data: Samples,
  width: number,
  left: number,
  size: { readonly width: number; readonly height: number },
  scratch: Scratch,
  k: number,
): Samples => {
  const length = size.width * size.height;
  const part = data instanceof Float64Array ? new Float64Array(length) : scratch.floats(`line ${k}`, length);
  for (let r = 0; r < size.height; r++)
    part.set(data.subarray(r * width + left, r * width + left + size.width), r * size.width);
  return part;
};

/**
 * A line with its stars at another size: under + size · (line − starless). `under` is the line without stars, smoothed or not.
 * Undefined where any of them is.
 */
export const restored = (under: PlaneSource, line: PlaneSource, starless: PlaneSource, size: number): PlaneSource => {
  const origins = [under.origin, line.origin, starless.origin] as const;
  const [of, lineOrigin, starlessOrigin] = origins;
  const origin: Origin | undefined = of &&
    lineOrigin &&
    starlessOrigin && { step: 'restore', of, line: lineOrigin, starless: starlessOrigin, size };
  return {
    ...under,
    origin,
    async readRows(y, rows, into) {
      const [with_, without] = [samplesFor(line, rows * line.width), samplesFor(starless, rows * line.width)];
      await under.readRows(y, rows, into);
      await line.readRows(y, rows, with_);
      await starless.readRows(y, rows, without);
      for (let i = 0; i < with_.length; i++) {
        const star = with_[i]! - without[i]!;
        if (star !== 0) into[i]! += size * star;
      }
    },
  };
};

/** All sources of a group, in the order of their numbers as members. */
export const splitSources = (
  members: readonly PlaneSource[],
  { list, farthest, left, top }: StarGroup,
): PlaneSource[] => {
  const { starless, lines, mask } = splitLines(members, list as PackedStars, { farthest, left, top });
  return [...starless, ...lines, mask];
};
