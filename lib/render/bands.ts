import type { OutputRows } from '../plane/picture.ts';

/** Computes bands of a picture. A band depends on nothing but its place: any cut, in any order, gives the same bytes. */
export interface BandRunner {
  /** Pixels of rows [y, y + rows), interleaved; valid until the next call, which must wait for this one. */
  run(y: number, rows: number): Promise<OutputRows>;
  /** Gives memory back. */
  close(): void;
}
