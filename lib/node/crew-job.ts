import { type ErrorFields, LinewashError } from '../plane/errors.ts';
import { hashFile } from './hash-file.ts';
import { createStripRunner, type StripJob, stripCount } from './strip-job.ts';

/** Work that several threads share: files to be hashed, then strips to be computed. Plain data. */
export interface CrewJob {
  /** Paths of files whose SHA-256 is wanted. */
  readonly hashes: readonly string[];
  readonly strips: StripJob | undefined;
}

/** What one thread did of it: the hashes it made. */
export type CrewResult = Readonly<Record<string, string>>;

/** Places in the shared numbers of a job. */
export const NEXT = 0;
export const STOPPED = 1;

/** Pieces of a job; each is taken by one thread. */
export const pieceCount = ({ hashes, strips }: CrewJob): number => hashes.length + (strips ? stripCount(strips) : 0);

/**
 * Takes pieces until none is left or the job is stopped. Which thread takes which piece makes no difference to the
 * result. `between` is awaited after each piece.
 */
export const doShare = async (
  job: CrewJob,
  shared: Int32Array,
  between?: () => Promise<void> | undefined,
): Promise<CrewResult> => {
  const result: Record<string, string> = {};
  const pieces = pieceCount(job);
  const goesOn = () => Atomics.load(shared, STOPPED) === 0;
  let runner: ReturnType<typeof createStripRunner> | undefined;
  try {
    for (let piece = take(shared); piece < pieces && goesOn(); piece = take(shared)) {
      const path = job.hashes[piece];
      if (path === undefined) {
        runner ??= createStripRunner(job.strips!);
        runner.run(piece - job.hashes.length);
      } else {
        const hash = hashFile(path, goesOn);
        if (hash !== undefined) result[path] = hash;
      }
      await between?.();
    }
    return result;
  } catch (cause) {
    Atomics.store(shared, STOPPED, 1);
    throw cause;
  } finally {
    runner?.close();
  }
};

const take = (shared: Int32Array): number => Atomics.add(shared, NEXT, 1);

/** An outcome that crosses threads. */
export type Outcome = { readonly result: CrewResult } | { readonly fault: ErrorFields } | { readonly defect: string };

export const outcomeOf = async (work: Promise<CrewResult>): Promise<Outcome> => {
  try {
    return { result: await work };
  } catch (cause) {
    if (cause instanceof LinewashError) return { fault: cause.toFields() };
    return { defect: cause instanceof Error ? (cause.stack ?? cause.message) : String(cause) };
  }
};
