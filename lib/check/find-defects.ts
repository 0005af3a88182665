import { throwIfCancelled } from '../plane/errors.ts';
import type { CreatePieceWorker, PieceKind } from '../plane/piece-work.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { Progress } from '../plane/progress.ts';
import { median } from '../plane/robust.ts';
import { createScratch } from '../plane/scratch.ts';
import type { StripOptions } from '../plane/strips.ts';
import { createLineWorker, createRowLooker } from './check-pieces.ts';
import { columnsOf } from './columns.ts';
import type { Defect } from './defects.ts';
import { joinLinePieces, linePieces } from './lines/line-pieces.ts';
import { unpackLook } from './look/pack.ts';
import { createMerger, type FrameSeen } from './merge-looks.ts';
import { standOut } from './planes/flatten.ts';
import { noisePlane, seamsOf } from './seams.ts';
import { binnedSize, type CheckSizes, sizesFor, squaresSize } from './sizes.ts';
import { spotDefects, spotsOf } from './spots.ts';
import { trailsOf } from './trails.ts';

/** A line to be looked at. */
export interface CheckLine {
  readonly name: string;
  readonly source: PlaneSource;
}

/** Frames with a shorter side than this are too small to tell anything. */
const SMALLEST = 64;

/** What was found, and the lines in which spots cannot be told from stars. */
export interface DefectSearch {
  readonly defects: Defect[];
  readonly untold: readonly string[];
}

/**
 * Finds what is in one master and not in the sky: trails, columns, rows, seams and spots. Reads all lines once, some rows at a
 * time. The method and its figures: docs/maths/check.md.
 * @param lines of one size and registered, linear; pixels without data NaN
 */
export const findDefects = async (lines: readonly CheckLine[], options: StripOptions = {}): Promise<Defect[]> =>
  (await searchDefects(lines, options)).defects;

/** The same, and what it could not tell. */
export const searchDefects = async (lines: readonly CheckLine[], options: StripOptions = {}): Promise<DefectSearch> => {
  const sources = lines.map(({ source }) => source);
  const names = lines.map(({ name }) => name);
  const first = sources[0];
  if (first === undefined || Math.min(first.width, first.height) < SMALLEST) return { defects: [], untold: names };
  const sizes = sizesFor(first.width, first.height);
  const seen = await seeFrame(sources, sizes, options);
  const scratch = createScratch();
  const planes = seen.lines.map(({ binned }) => standOut(binned, binnedSize(sizes), scratch));
  const noise = seen.lines.map(({ squares }) => noisePlane(squares, squaresSize(sizes)));
  const search = { lines: planes, noise };
  const found = await inPieces('check-lines', sources, search, linePieces(search), createLineWorker, options);
  const { trails, seams } = joinLinePieces(search, found);
  const trailDefects = trailsOf(
    names.map((name, k) => ({ name, scales: trails[k]! })),
    sizes.bin,
  );
  const { spots, untold } = spotsOf(
    { names, points: seen.points, spread: seen.lines.map(({ spread }) => spread) },
    sizes,
  );
  const all = [
    ...trailDefects,
    ...names.flatMap((name, k) => straight(name, seen.lines[k]!, sizes)),
    ...names.flatMap((name, k) => seamsOf(name, seams[k]!, noise[k]!, sizes.square)),
    ...spotDefects(spots, names, trailDefects),
  ];
  return { defects: names.flatMap((name) => all.filter(({ channel }) => channel === name)), untold };
};

const straight = (
  name: string,
  { columns, rows, squares }: FrameSeen['lines'][number],
  sizes: CheckSizes,
): Defect[] => {
  const noise = median(squares.noise.filter((of) => of > 0));
  const { width, height } = sizes;
  return [
    ...columnsOf('column', name, columns, { places: width, length: height, noise }),
    ...columnsOf('row', name, rows, { places: height, length: width, noise }),
  ];
};

/** Looks at all rows of all lines. */
const seeFrame = async (
  sources: readonly PlaneSource[],
  sizes: CheckSizes,
  options: StripOptions,
): Promise<FrameSeen> => {
  const pieces = Math.ceil(sizes.height / sizes.rows);
  const looks = await inPieces('check-rows', sources, sizes, pieces, createRowLooker, options, options.progress);
  const merger = createMerger(sizes, sources.length);
  for (const [piece, numbers] of looks.entries()) merger.add(unpackLook(numbers), piece);
  return merger.result();
};

/** Does work in pieces, on all threads where there are some. */
const inPieces = async (
  kind: PieceKind,
  sources: readonly PlaneSource[],
  question: unknown,
  pieces: number,
  create: CreatePieceWorker,
  { signal, executor }: StripOptions,
  progress?: Progress,
): Promise<readonly Float32Array[]> => {
  throwIfCancelled(signal);
  const shared = executor?.pieces?.({ kind, sources, question, pieces }, progress);
  if (shared) return shared;
  const work = create(sources, question);
  const all: Float32Array[] = [];
  for (let piece = 0; piece < pieces; piece++) {
    throwIfCancelled(signal);
    all.push(await work(piece));
    progress?.((piece + 1) / pieces);
  }
  return all;
};
