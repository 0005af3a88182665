import { LinewashError } from '../../lib/plane/errors.ts';

/** Something that takes bytes from outside: `run` rejects only where it finds a defect. */
export interface FuzzTarget {
  readonly name: string;
  readonly seeds: readonly Uint8Array[];
  readonly run: (bytes: Uint8Array) => Promise<void>;
}

/** Runs `read` and swallows what it may throw: a LinewashError with a message. */
export const expectClean = async (read: () => Promise<unknown>): Promise<void> => {
  try {
    await read();
  } catch (error) {
    if (!(error instanceof LinewashError) || error.message === '') throw error;
  }
};
