import { type Mask, uniteMasks } from '../../plane/mask.ts';
import type { Origin } from '../../plane/origin.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { BandInput } from '../../render/band-input.ts';

/** Rows of one master of any origin that threads look at piece by piece. Plain data. */
export interface RowJob extends Pick<PlaneSource, 'width' | 'height' | 'type'> {
  readonly origin: Origin;
  /** Pixels that do not count. */
  readonly mask?: Mask | undefined;
  /** Rows of a piece; the last may have fewer. */
  readonly pieceRows: number;
}

/** Lets the rest of the program run for a moment where it has waited for long. */
export type Rest = () => Promise<void> | undefined;

/** One thread's part in a job of rows. */
export interface RowRunner<Result> {
  run(piece: number, rest?: Rest): Promise<void>;
  result(): Result;
  close(): void;
}

/** Pixels that do not count, those included that kernels do not hide themselves. */
export const unwantedOf = (mask: Mask | undefined, input: BandInput): Mask | undefined => {
  const hidden = 'stored' in input ? input.stored.hidden : undefined;
  return mask && hidden ? uniteMasks(mask, hidden) : (mask ?? hidden);
};

/** The rows of a piece by so many at a time, from the top. */
export const eachPart = async (
  { pieceRows, height }: RowJob,
  piece: number,
  most: number,
  look: (y: number, rows: number) => void | Promise<void>,
  goesOn: () => boolean,
  rest?: Rest,
): Promise<void> => {
  const end = Math.min(height, (piece + 1) * pieceRows);
  for (let y = piece * pieceRows; y < end && goesOn(); y += most) {
    const looked = look(y, Math.min(most, end - y));
    if (looked) await looked;
    await rest?.();
  }
};
