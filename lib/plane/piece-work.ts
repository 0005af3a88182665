import type { PlaneSource } from './plane.ts';
import type { Progress } from './progress.ts';

/** Kinds of work that are cut into pieces. */
export type PieceKind = 'stars' | 'check-rows' | 'check-lines' | 'faint' | 'place';

/** Work on sources of one size whose pieces do not depend on one another. */
export interface PieceWork {
  readonly kind: PieceKind;
  readonly sources: readonly PlaneSource[];
  /** What the kind of work asks for. Plain data. */
  readonly question: unknown;
  readonly pieces: number;
}

/** Does one piece: numbers that are plain enough to cross threads. */
export type PieceWorker = (piece: number) => Promise<Float32Array<ArrayBuffer>>;

/** Makes a worker for sources that are open. */
export type CreatePieceWorker = (sources: readonly PlaneSource[], question: unknown) => PieceWorker;

/** Work that several threads share; the answers in the order of the pieces. Undefined where it cannot be shared. */
export type PieceWorking = (
  work: PieceWork,
  progress?: Progress,
) => Promise<readonly Float32Array<ArrayBuffer>[]> | undefined;
