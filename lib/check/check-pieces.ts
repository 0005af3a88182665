import type { CreatePieceWorker } from '../plane/piece-work.ts';
import { createLineSearcher, type LineSearch } from './lines/line-pieces.ts';
import { createLooker } from './look/look.ts';
import { packLook } from './look/pack.ts';
import type { CheckSizes } from './sizes.ts';

/** Looks at rows of all lines, on any thread. */
export const createRowLooker: CreatePieceWorker = (sources, question) => {
  const look = createLooker(sources, question as CheckSizes);
  return async (piece) => packLook(await look(piece));
};

/** Searches planes for straight lines, on any thread; the planes come with the question. */
export const createLineWorker: CreatePieceWorker = (_, question) => {
  const search = createLineSearcher(question as LineSearch);
  return async (piece) => search(piece);
};
