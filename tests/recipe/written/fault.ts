import { type Fault, LinewashError } from '../../../lib/plane/errors.ts';

/** The faults that reading a recipe gives; an error where it gives none, or fails in another way. */
export const faultsOf = async (read: () => unknown): Promise<readonly Fault[]> => {
  try {
    await read();
  } catch (cause) {
    if (cause instanceof LinewashError && cause.tag === 'recipe') return cause.faults;
    throw cause;
  }
  throw new Error('no fault was found');
};

export const SHO = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
