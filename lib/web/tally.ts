import { readPictureFacts } from '../formats/facts.ts';
import type { ByteSource } from '../plane/bytes.ts';
import { LinewashError, throwIfCancelled } from '../plane/errors.ts';
import { tallyCounter } from '../tally/count.ts';
import { PICTURE_NAME } from '../tally/path.ts';
import type { Tally } from '../tally/tally.ts';
import { blobSource } from './bytes/blob-source.ts';
import type { CallContext } from './wire/rpc.ts';

/** A file with the folders it lies in, as they were dropped. */
export interface TallyFile {
  readonly path: string;
  readonly file: Blob;
}

/** Files to be counted. */
export interface TallyQuestion {
  readonly files: readonly TallyFile[];
  /** Lines by the filter as headers write it, for filters whose name says no line. */
  readonly filters?: Readonly<Record<string, string>> | undefined;
}

/** Holds most headers; what lies beyond is read when it is asked for. */
const HEAD = 4 * 2880;

/** A blob whose first bytes are fetched at once, as they are most likely all that is read. */
const headSource = async (name: string, blob: Blob): Promise<ByteSource> => {
  const whole = blobSource(name, blob);
  const length = Math.min(HEAD, blob.size);
  const head = new Uint8Array(await blob.slice(0, length).arrayBuffer());
  return {
    name,
    size: blob.size,
    read: async (offset, count) =>
      offset + count <= head.length ? head.subarray(offset, offset + count) : whole.read(offset, count),
  };
};

/**
 * Counts the subs among files as `linewash tally` does. Files that cannot be read are listed with the reason.
 * @param filters lines by the filter as headers write it, for filters whose name says no line
 */
export const tallyBlobs = async (
  files: readonly TallyFile[],
  { signal, progress }: Pick<CallContext, 'signal' | 'progress'>,
  filters: Readonly<Record<string, string>> = {},
): Promise<Tally> => {
  const counter = tallyCounter(filters);
  // The page draws each step: a hundred are enough.
  const step = Math.ceil(files.length / 100);
  for (const [i, { path, file }] of files.entries()) {
    throwIfCancelled(signal);
    try {
      if (PICTURE_NAME.test(path)) counter.add(path, await readPictureFacts(await headSource(path, file)));
      else counter.skip(path, 'neither FITS nor TIFF by its name');
    } catch (cause) {
      if (cause instanceof LinewashError) counter.skip(path, cause.message);
      else if (cause instanceof DOMException) counter.skip(path, 'cannot be read: it was changed or moved');
      else throw cause;
    }
    if ((i + 1) % step === 0 || i + 1 === files.length) progress((i + 1) / files.length);
  }
  return counter.result();
};
