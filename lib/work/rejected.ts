import type { Box } from '../plane/box.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import { createMask, type Mask, mark } from '../plane/mask.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Part } from '../prepare/combine.ts';
import { rejectedReader } from '../prepare/rejected.ts';

/** A line whose masters were combined. */
export interface CombinedParts {
  readonly line: string;
  readonly parts: readonly Part[];
}

/** A master that pixels may have been left out of. */
export interface RejectedMaster {
  readonly line: string;
  readonly file: string;
}

/** The same, and how many of its pixels were left out. */
export interface RejectedCount extends RejectedMaster {
  readonly pixels: number;
}

/** All masters of combined lines in the order in which they are numbered, from 0. */
export const rejectedMasters = (lines: readonly CombinedParts[]): RejectedMaster[] =>
  lines.flatMap(({ line, parts }) => parts.map(({ source }) => ({ line, file: source.file })));

/** Rows that are looked at together. */
const BAND = 1 << 19;

/** Rows [y, y + rows) of a box of the frame. */
export interface RejectedBand {
  readonly y: number;
  readonly rows: number;
  /** Calls `visit` for each pixel left out: its index into the rows of the box, and the number of its master. */
  each(visit: (index: number, master: number) => void): void;
}

/**
 * Which pixels combining leaves out, and of which master, band by band from the top. Memory holds one band of one line.
 * @param box the part of the frame that is looked at; the whole frame where absent
 * @returns the masters by number, with the pixels of the box that were left out of each
 */
export const readRejected = async (
  lines: readonly CombinedParts[],
  box: Box | undefined,
  use: (band: RejectedBand) => Promise<void> | void,
  { signal, progress }: StripOptions = {},
): Promise<RejectedCount[]> => {
  const { width: across, height: down } = lines[0]!.parts[0]!.source;
  const { x, y: top, width, height } = box ?? { x: 0, y: 0, width: across, height: down };
  const readers = lines.map(({ parts }) => rejectedReader(parts));
  const firsts = lines.map((_, k) => lines.slice(0, k).reduce((sum, { parts }) => sum + parts.length, 0));
  const masters = rejectedMasters(lines);
  const counts = masters.map(() => 0);
  const most = Math.max(1, Math.floor(BAND / across));
  for (let y = 0; y < height; y += most) {
    throwIfCancelled(signal);
    const rows = Math.min(most, height - y);
    const found: { index: number; master: number }[] = [];
    for (const [k, read] of readers.entries())
      await read(top + y, rows, (index, part) => {
        const column = (index % across) - x;
        if (column < 0 || column >= width) return;
        const master = firsts[k]! + part;
        counts[master]!++;
        found.push({ index: Math.floor(index / across) * width + column, master });
      });
    await use({
      y,
      rows,
      each(visit) {
        for (const { index, master } of found) visit(index, master);
      },
    });
    progress?.((y + rows) / height);
  }
  return masters.map((master, k) => ({ ...master, pixels: counts[k]! }));
};

/** A master, and the pixels that were left out of it. */
export interface RejectedMask extends RejectedCount {
  readonly mask: Mask;
}

/** The pixels of the whole frame that were left out, one bit a pixel and master. */
export const rejectedMasks = async (
  lines: readonly CombinedParts[],
  options: StripOptions = {},
): Promise<RejectedMask[]> => {
  const { width, height } = lines[0]!.parts[0]!.source;
  const masks = rejectedMasters(lines).map(() => createMask(width, height));
  const counts = await readRejected(
    lines,
    undefined,
    ({ y, each }) => each((index, master) => mark(masks[master]!, index % width, y + Math.floor(index / width))),
    options,
  );
  return counts.map((count, k) => ({ ...count, mask: masks[k]! }));
};
