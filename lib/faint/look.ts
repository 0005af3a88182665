import { throwIfCancelled } from '../plane/errors.ts';
import type { CreatePieceWorker } from '../plane/piece-work.ts';
import type { PlaneSource } from '../plane/plane.ts';
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
  const shared = await executor?.pieces?.({ kind: 'faint', sources: [source], question: looking, pieces }, progress);
  const own = createLooker([source], looking);
  for (let piece = 0; piece < pieces; piece++) {
    throwIfCancelled(signal);
    unpack(shared?.[piece] ?? (await own(piece)), piece, looked);
    if (shared === undefined) progress?.((piece + 1) / pieces);
  }
  return looked;
};

/** Looks through pieces of a frame, on any thread: sums and counts of its bins, then its maxima. */
export const createLooker: CreatePieceWorker = ([source], question) => {
  const { width, height } = source!;
  const looking = question as Looking;
  const halo = looking.fwhm === undefined ? 0 : peakReach(looking.fwhm);
  const data = samplesFor(source!, Math.min(height, PIECE_ROWS + 2 * halo) * width);
  return async (piece) => {
    const [first, last] = [piece * PIECE_ROWS, Math.min(height, (piece + 1) * PIECE_ROWS)];
    const top = Math.max(0, first - halo);
    const rows = Math.min(height, last + halo) - top;
    await source!.readRows(top, rows, data);
    const bins = emptyBins(width, last - first);
    addRows(bins, data.subarray((first - top) * width), width, 0, last - first, looking.level);
    const peaks = noPeaks();
    if (looking.fwhm !== undefined) findPeaks({ data, width, top, rows }, [first, last], looking, looking.fwhm, peaks);
    return pack(bins, peaks);
  };
};

const COLUMNS = ['x', 'y', 'smoothed', 'value'] as const;

const pack = ({ sums, counts }: Bins, peaks: Peaks): Float32Array<ArrayBuffer> => {
  const packed = new Float32Array(2 * sums.length + COLUMNS.length * peaks.x.length);
  packed.set(sums);
  packed.set(counts, sums.length);
  for (const [k, column] of COLUMNS.entries()) packed.set(peaks[column], 2 * sums.length + k * peaks.x.length);
  return packed;
};

const unpack = (packed: Float32Array, piece: number, { bins, peaks }: Looked): void => {
  const start = (piece * PIECE_ROWS * bins.width) / bins.size;
  const length = Math.min(bins.sums.length - start, (PIECE_ROWS * bins.width) / bins.size);
  bins.sums.set(packed.subarray(0, length), start);
  const counts = packed.subarray(length, 2 * length);
  bins.counts.set(counts, start);
  bins.covered.set(counts, start);
  const count = (packed.length - 2 * length) / COLUMNS.length;
  for (const [k, column] of COLUMNS.entries())
    for (let i = 0; i < count; i++) peaks[column].push(packed[2 * length + k * count + i]!);
};
