import { createMask, type Mask, mark } from '../../plane/mask.ts';
import { MAD_TO_SIGMA, medianOfSorted } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import { SEGMENT, type StripSums, segmentOffset, segmentPad, stripSums } from './lines.ts';

/** Cells of 2 × 2 pixels: their excess in units of its deviation, 1 as `UNIT`. */
export interface Cells {
  readonly width: number;
  readonly height: number;
  readonly data: Int8Array;
}

/** What a deviation of 1 is in `Cells`; four of them fill a byte. */
export const UNIT = 31.75;
/** Segments whose sum exceeds so many deviations are part of a trail. */
const SIGMAS = 6.5;
/** Each quarter of a segment must hold this share of it: what is compact, such as a star or a crossing trail, is no trail. */
const QUARTER = 0.1;
/** Strips overlap by half, so that no trail is cut where it shows best. */
const STEP = SEGMENT / 2;
/** Strips that the deviations are found from. */
const SAMPLED = 12;
/** What a sum over 32 × 2 cells of white noise deviates by; no less is taken, where much of a picture is empty. */
const WHITE = UNIT * Math.sqrt(2 * SEGMENT);

/** The cells on straight segments of 62 pixels along which the excess stands out though no pixel does. */
export const findTrails = (cells: Cells): Mask => {
  const marked = createMask(cells.width, cells.height);
  levelCells(cells);
  for (const transposed of [false, true])
    for (const mirrored of [false, true]) {
      const view = viewOf(cells, transposed, mirrored);
      const sums = stripSums(view.length);
      const limits = limitsOf(view, sums);
      for (let top = 0; top < view.lines; top += STEP) {
        fill(view, top, sums);
        markHits(view, top, sums, limits, marked);
      }
    }
  return marked;
};

/** Cells as lines of positions, whichever way strips run. */
interface View {
  readonly cells: Cells;
  readonly lines: number;
  readonly length: number;
  /** Where position 0 of line 0 lies, and the steps from there. */
  readonly first: number;
  readonly line: number;
  readonly along: number;
}

const viewOf = (cells: Cells, transposed: boolean, mirrored: boolean): View => {
  const [lines, length] = transposed ? [cells.width, cells.height] : [cells.height, cells.width];
  const [line, step] = transposed ? [1, cells.width] : [cells.width, 1];
  return { cells, lines, length, line, along: mirrored ? -step : step, first: mirrored ? (length - 1) * step : 0 };
};

const fill = ({ cells, lines, length, first, line, along }: View, top: number, sums: StripSums): void => {
  const { rows, stride } = sums;
  const { data } = cells;
  const some = Math.min(SEGMENT, lines - top);
  for (let r = some; r < SEGMENT; r++) rows.fill(0, r * stride, (r + 1) * stride);
  // In squares: neighbours in memory are near each other in one of the two only.
  for (let square = 0; square < length; square += SEGMENT)
    for (let r = 0; r < some; r++) {
      const into = r * stride + segmentPad;
      const end = Math.min(length, square + SEGMENT);
      let from = first + (top + r) * line + square * along;
      for (let p = square; p < end; p++, from += along) rows[into + p] = data[from]!;
    }
  sums.sum();
};

/** For each slope what a sum must exceed, from some strips. Sums of 0 lie where nothing is known. */
const limitsOf = (view: View, sums: StripSums): Float64Array => {
  const strips = Math.max(1, Math.ceil(view.lines / STEP) - 1);
  const every = Math.max(1, Math.floor(strips / SAMPLED));
  const found = Array.from({ length: SEGMENT }, (): number[] => []);
  for (let strip = every >> 1; strip < strips; strip += every) {
    fill(view, strip * STEP, sums);
    for (const [slope, values] of found.entries())
      for (let at = segmentPad; at < segmentPad + view.length - 1; at += 5) {
        const sum = sums.pair(slope, at);
        if (sum !== 0) values.push(Math.abs(sum));
      }
  }
  return Float64Array.from(found, (values) => {
    const spread = values.length === 0 ? 0 : MAD_TO_SIGMA * upperMedian(Float32Array.from(values));
    return SIGMAS * Math.max(WHITE, spread);
  });
};

const markHits = (view: View, top: number, sums: StripSums, limits: Float64Array, marked: Mask): void => {
  const end = segmentPad + view.length - 1;
  for (let slope = 0; slope < SEGMENT; slope++) {
    const limit = limits[slope]!;
    for (let at = 1; at < end; at++) {
      const sum = sums.pair(slope, at);
      if (sum > limit && sums.leastQuarter(slope, at) >= QUARTER * sum)
        markSegment(view, top, slope, at - segmentPad, marked);
    }
  }
};

/** Marks the two cells across and one to either side. */
const markSegment = (view: View, top: number, slope: number, start: number, marked: Mask): void => {
  const { lines, length, first, line, along, cells } = view;
  for (let r = 0; r < SEGMENT && top + r < lines; r++) {
    const centre = start + segmentOffset(slope, r);
    for (let p = Math.max(0, centre - 1); p <= Math.min(length - 1, centre + 2); p++) {
      const at = first + (top + r) * line + p * along;
      mark(marked, at % cells.width, Math.floor(at / cells.width));
    }
  }
};

/** Side of the tiles whose means tell what changes slowly. */
const TILE = 8;

/** Takes off what changes slowly: the median over 5 × 5 tiles of the means of 8 × 8 cells. Empty cells stay so. */
const levelCells = ({ width, height, data }: Cells): void => {
  const [across, down] = [Math.ceil(width / TILE), Math.ceil(height / TILE)];
  const means = tileMeans({ width, height, data }, across, down);
  const near = new Float64Array(25);
  for (let ty = 0; ty < down; ty++)
    for (let tx = 0; tx < across; tx++) {
      let n = 0;
      for (let y = Math.max(0, ty - 2); y <= Math.min(down - 1, ty + 2); y++)
        for (let x = Math.max(0, tx - 2); x <= Math.min(across - 1, tx + 2); x++) near[n++] = means[y * across + x]!;
      const level = Math.round(medianOfSorted(near.subarray(0, n).sort()));
      for (let y = ty * TILE; y < Math.min(height, (ty + 1) * TILE); y++)
        for (let x = tx * TILE; x < Math.min(width, (tx + 1) * TILE); x++) {
          const value = data[y * width + x]!;
          if (value !== 0) data[y * width + x] = Math.max(-127, Math.min(127, value - level));
        }
    }
};

const tileMeans = ({ width, height, data }: Cells, across: number, down: number): Float32Array => {
  const sums = new Float32Array(across * down);
  const counts = new Uint8Array(across * down);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const value = data[y * width + x]!;
      const tile = Math.floor(y / TILE) * across + Math.floor(x / TILE);
      sums[tile]! += value;
      if (value !== 0) counts[tile]!++;
    }
  return sums.map((sum, k) => sum / Math.max(1, counts[k]!));
};
