import { throwIfCancelled } from '../plane/errors.ts';
import type { CreatePieceWorker } from '../plane/piece-work.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { createScratch } from '../plane/scratch.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import { addRows, type Bins, emptyBins } from './bins.ts';
import type { Ground } from './octave.ts';
import { findPeaks, noPeaks, type Peaks, peakReach } from './star-peaks.ts';

/** What looking through a line depends on beside its pixels. Plain data. */
export interface Looking extends Pick<Ground, 'noise' | 'level'> {
  /** Width of stars in pixels; absent where none are looked for. */
  readonly fwhm?: number | undefined;
}

/** All that a map needs of a line: its first bins, nothing masked, and its compact maxima. */
export interface Looked {
  readonly bins: Bins;
  readonly peaks: Peaks;
}

/** Rows of a frame that are looked through at once: whole bins. */
const PIECE_ROWS = 256;

/** Looks through a line once, in strips; who has threads lets them share. */
export const lookThrough = async (
  source: PlaneSource,
  looking: Looking,
  { signal, progress, executor }: StripOptions = {},
): Promise<Looked> => {
  const { width, height } = source;
  const looked = { bins: emptyBins(width, height), peaks: noPeaks() };
  const pieces = Math.ceil(height / PIECE_ROWS);
  const shared = (await executor?.pieces?.(
    { kind: 'faint', sources: [source], question: looking, pieces },
    progress,
  )) as (Float32Array | undefined)[] | undefined;
  const own = createLooker([source], looking);
  for (let piece = 0; piece < pieces; piece++) {
    throwIfCancelled(signal);
    unpack(shared?.[piece] ?? (await own(piece)), piece, looked);
    if (shared === undefined) progress?.((piece + 1) / pieces);
    // Two copies of all bins would be large.
    else shared[piece] = undefined;
  }
  return looked;
};

/** Looks through pieces of a frame, on any thread: sums and counts of its bins, then its maxima. */
export const createLooker: CreatePieceWorker = ([source], question) => {
  const { width, height } = source!;
  const looking = question as Looking;
  const halo = looking.fwhm === undefined ? 0 : peakReach(looking.fwhm);
  const room = createScratch();
  const data = samplesFor(source!, Math.min(height, PIECE_ROWS + 2 * halo) * width);
  return async (piece) => {
    const [first, last] = [piece * PIECE_ROWS, Math.min(height, (piece + 1) * PIECE_ROWS)];
    const top = Math.max(0, first - halo);
    const rows = Math.min(height, last + halo) - top;
    await source!.readRows(top, rows, data);
    const bins = emptyBins(width, last - first);
    addRows(bins, data.subarray((first - top) * width), width, 0, last - first, looking.level);
    const peaks = noPeaks();
    const { fwhm } = looking;
    if (fwhm !== undefined) findPeaks({ data, width, top, rows }, [first, last], looking, fwhm, peaks, room);
    return pack(bins, peaks);
  };
};

const COLUMNS = ['x', 'y', 'smoothed', 'value'] as const;

/** Sums of bins; their counts, unless all are full; maxima; and last how many of these there are. */
const pack = ({ sums, counts, size }: Bins, peaks: Peaks): Float32Array<ArrayBuffer> => {
  const some = counts.every((count) => count === size ** 2) ? [] : counts;
  const count = peaks.x.length;
  const packed = new Float32Array(sums.length + some.length + COLUMNS.length * count + 1);
  packed.set(sums);
  packed.set(some, sums.length);
  for (const [k, column] of COLUMNS.entries()) packed.set(peaks[column], sums.length + some.length + k * count);
  packed[packed.length - 1] = count;
  return packed;
};

const unpack = (packed: Float32Array, piece: number, { bins, peaks }: Looked): void => {
  const start = (piece * PIECE_ROWS * bins.width) / bins.size;
  const length = Math.min(bins.sums.length - start, (PIECE_ROWS * bins.width) / bins.size);
  const count = packed.at(-1)!;
  const end = packed.length - 1 - COLUMNS.length * count;
  bins.sums.set(packed.subarray(0, length), start);
  const counts = end > length ? packed.subarray(length, end) : new Uint16Array(length).fill(bins.size ** 2);
  bins.counts.set(counts, start);
  bins.covered.set(counts, start);
  for (const [k, column] of COLUMNS.entries())
    for (let i = 0; i < count; i++) peaks[column].push(packed[end + k * count + i]!);
};
