import { readPictureFacts } from '../formats/facts.ts';
import { LinewashError, throwIfCancelled } from '../plane/errors.ts';
import { tallyCounter } from '../tally/count.ts';
import { PICTURE_NAME } from '../tally/path.ts';
import type { Tally } from '../tally/tally.ts';
import { systemError } from './files/reason.ts';
import { type Below, filesBelow } from './tally/files-below.ts';
import { headBuffer, withHead } from './tally/head-source.ts';

/** Folders of sub-exposures to count. */
export interface TallyOptions {
  /** Folders below them are searched too; links are not followed. */
  readonly folders: readonly string[];
  /** Lines by the filter as headers write it, for filters whose name says no line: `{ '1': 'S' }`. */
  readonly filters?: Readonly<Record<string, string>> | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the share of the files that is done, 0…1. */
  readonly progress?: ((done: number) => void) | undefined;
}

/** Headers that are read at a time: while one is parsed, others come from the disk. */
const AT_A_TIME = 6;

/**
 * Counts sub-exposures by target, line and night from their headers alone. Files that cannot be counted are listed with
 * the reason; calibration frames and masters are left out and counted.
 * @throws LinewashError 'input' where a folder cannot be read, 'cancelled'
 */
export const tallyFiles = async ({ folders, filters, signal, progress }: TallyOptions): Promise<Tally> => {
  const counter = tallyCounter(filters);
  let all = 0;
  for await (const _ of filesBelow(folders)) {
    throwIfCancelled(signal);
    all++;
  }
  const files = filesBelow(folders);
  let done = 0;
  const countFiles = async () => {
    const buffer = headBuffer();
    for (;;) {
      const next = await files.next();
      if (next.done) return;
      throwIfCancelled(signal);
      await countFile(counter, next.value, buffer);
      progress?.(Math.min(1, ++done / all));
    }
  };
  await Promise.all(Array.from({ length: AT_A_TIME }, countFiles));
  return counter.result();
};

const countFile = async (
  counter: ReturnType<typeof tallyCounter>,
  { path, within, reason }: Below,
  buffer: Buffer,
): Promise<void> => {
  if (reason !== undefined) return counter.skip(path, reason);
  if (!PICTURE_NAME.test(path)) return counter.skip(path, 'neither FITS nor TIFF by its name');
  try {
    counter.add(path, await withHead(path, buffer, readPictureFacts), within);
  } catch (thrown) {
    const cause = systemError(thrown) ?? thrown;
    if (!(cause instanceof LinewashError) || cause.tag === 'cancelled') throw cause;
    counter.skip(path, cause.message);
  }
};
