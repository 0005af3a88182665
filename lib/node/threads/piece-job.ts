import type { Origin } from '../../plane/origin.ts';
import type { PieceKind } from '../../plane/piece-work.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { originOpener } from '../../render/open-origin.ts';
import { pieceWorkerOf } from '../../work/piece-workers.ts';
import { openedFiles } from './opened-files.ts';

/** Work on masters of any origin, cut into pieces of its own. Plain data. */
export interface PieceJob {
  readonly kind: PieceKind;
  readonly origins: readonly Origin[];
  readonly question: unknown;
  readonly pieces: number;
}

/** What was found in one piece. */
export interface PieceFound {
  readonly piece: number;
  readonly numbers: Float32Array<ArrayBuffer>;
}

/** One thread's share in work by pieces. */
export const createPieceRunner = async ({ kind, origins, question }: PieceJob) => {
  const files = openedFiles();
  try {
    const open = originOpener(files.open);
    const sources: PlaneSource[] = [];
    for (const origin of origins) sources.push(await open(origin));
    const work = (await pieceWorkerOf(kind))(sources, question);
    const found: PieceFound[] = [];
    return {
      async run(piece: number): Promise<void> {
        found.push({ piece, numbers: await work(piece) });
      },
      result: () => ({ found }),
      close: () => files.close(),
    };
  } catch (cause) {
    files.close();
    throw cause;
  }
};
