import type { CreatePieceWorker, PieceKind } from '../plane/piece-work.ts';

/** What does pieces of a kind of work; loaded when it is needed. */
export const pieceWorkerOf = async (kind: PieceKind): Promise<CreatePieceWorker> => {
  switch (kind) {
    case 'stars':
      return (await import('../stars/find/star-pieces.ts')).createStarWorker;
    case 'check-rows':
      return (await import('../check/check-pieces.ts')).createRowLooker;
    case 'check-lines':
      return (await import('../check/check-pieces.ts')).createLineWorker;
    case 'faint':
      return (await import('../faint/look.ts')).createLooker;
    case 'place':
      return (await import('../measure/registration/place-pieces.ts')).createPlaceWorker;
  }
};
