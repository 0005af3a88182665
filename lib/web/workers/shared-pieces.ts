import type { Origin } from '../../plane/origin.ts';
import type { PieceKind, PieceWorker } from '../../plane/piece-work.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { type Turn, turns } from '../../plane/turns.ts';
import { originOpener } from '../../render/open-origin.ts';
import { pieceWorkerOf } from '../../work/piece-workers.ts';
import { blobFiles } from './blob-files.ts';

/** Work in pieces that several workers share. Plain data, sent to each of them once. */
export interface SharedPieces {
  readonly id: string;
  readonly kind: PieceKind;
  readonly origins: readonly Origin[];
  readonly question: unknown;
}

/** The work in pieces that a worker takes part in. */
export const createPieces = () => {
  const opened = new Map<string, Promise<{ readonly work: PieceWorker; readonly turn: Turn }>>();
  return {
    open(shared: SharedPieces): void {
      const work = openShared(shared);
      work.catch(() => {});
      opened.set(shared.id, work);
    },
    /** @throws RangeError for work that was not opened: a defect of the caller. */
    async make(id: string, piece: number): Promise<Float32Array<ArrayBuffer>> {
      const found = opened.get(id);
      if (found === undefined) throw new RangeError(`no work ${id}`);
      const { work, turn } = await found;
      // One piece at a time: they share memory.
      return turn(() => work(piece));
    },
    close: (id: string): void => void opened.delete(id),
  };
};

const openShared = async ({ kind, origins, question }: SharedPieces) => {
  const open = originOpener(blobFiles().open);
  const sources: PlaneSource[] = [];
  for (const origin of origins) sources.push(await open(origin));
  return { work: (await pieceWorkerOf(kind))(sources, question), turn: turns() };
};
