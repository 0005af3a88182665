import type { Mask } from '../../plane/mask.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { firstOfEach, type Size } from '../../plane/shrink.ts';

export interface Rows {
  readonly y: number;
  readonly rows: number;
}

/** Rows of a master, and the rows of its smaller copy that are made of them and nothing else. */
export interface Band extends Rows {
  readonly from: number;
  readonly to: number;
}

/** So many bands for each helper: whoever is held up by other programs leaves the rest to the others. */
const EACH = 2;

/**
 * Cuts a master into bands for `helpers` to share. What is not stored as plain rows can only be read from the start and
 * stays in one piece.
 */
export const bandsOf = (source: PlaneSource, small: Size, helpers: number): Band[] => {
  const pieces = source.raw === undefined ? 1 : Math.min(small.height, helpers * EACH);
  const first = firstOfEach(small.height, source.height);
  return Array.from({ length: pieces }, (_, i) => {
    const from = Math.round((i * small.height) / pieces);
    const to = Math.round(((i + 1) * small.height) / pieces);
    return { y: first[from]!, rows: first[to]! - first[from]!, from, to };
  });
};

/** Cuts the rows of blocks of a master into shares, likewise. */
export const blockBands = ({ height, raw }: PlaneSource, size: number, helpers: number): Rows[] => {
  const rows = Math.ceil(height / size);
  const pieces = raw === undefined ? 1 : Math.min(rows, helpers * EACH);
  return Array.from({ length: pieces }, (_, i) => {
    const [from, to] = [i, i + 1].map((k) => Math.min(height, Math.round((k * rows) / pieces) * size));
    return { y: from!, rows: to! - from! };
  });
};

/** The part of a mask that lies over a band. */
export const maskOver = (mask: Mask | undefined, { y, rows }: Rows): Mask | undefined =>
  mask && { ...mask, height: rows, bits: mask.bits.slice(y * mask.stride, (y + rows) * mask.stride) };
