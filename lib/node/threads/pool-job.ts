import { addLower, addUpper } from '../../plane/counting.ts';
import { type ErrorFields, LinewashError } from '../../plane/errors.ts';
import type { FilePicture } from '../../plane/origin.ts';
import { hashFile } from '../files/hash-file.ts';
import { systemError } from '../files/reason.ts';
import { type BandJob, createBandJobRunner } from './band-job.ts';
import { type BlockJob, type BlockRow, createBlockRunner } from './block-job.ts';
import { type CountJob, type CountResult, createCountRunner } from './count-job.ts';
import { createPieceRunner, type PieceFound, type PieceJob } from './piece-job.ts';
import { createPlaceRunner, type PlacesFound } from './place-job.ts';
import type { Rest } from './row-job.ts';

/** Work that several threads share: files to be hashed, then strips to be computed or counted. Plain data. */
export interface PoolJob {
  /** Paths of files to compute the SHA-256 of. */
  readonly hashes: readonly string[];
  readonly bands?: BandJob;
  readonly counts?: CountJob;
  readonly blocks?: BlockJob;
  readonly pieces?: PieceJob;
  /** Compressed files to go through. */
  readonly places?: readonly FilePicture[];
}

/** What one thread did of it. */
export interface PoolResult extends CountResult {
  readonly blocks?: readonly BlockRow[];
  readonly found?: readonly PieceFound[];
  readonly places?: readonly PlacesFound[];
  readonly hashes: Readonly<Record<string, string>>;
}

/** Places in the shared numbers of a job; the states of the helpers follow, see `comeIn`. */
export const NEXT = 0;
export const STOPPED = 1;
const FIRST_HELPER = 2;

/** A helper has not begun, is at work, or came too late. */
const AWAY = 0;
const INSIDE = 1;
const SHUT = 2;

/** What threads that share a job know of each other. */
export const sharedNumbers = (helpers: number): Int32Array =>
  new Int32Array(new SharedArrayBuffer(4 * (FIRST_HELPER + helpers)));

/** A helper begins; false where the others are done already and do not wait for it. */
export const comeIn = (shared: Int32Array, helper: number): boolean =>
  Atomics.compareExchange(shared, FIRST_HELPER + helper, AWAY, INSIDE) === AWAY;

/** Says that a helper which has not begun need not come; false where it is at work, so that its share must be awaited. */
export const shutOut = (shared: Int32Array, helper: number): boolean =>
  Atomics.compareExchange(shared, FIRST_HELPER + helper, AWAY, SHUT) === AWAY;

/** Whether a helper was told not to come. */
export const isShutOut = (shared: Int32Array, helper: number): boolean =>
  Atomics.load(shared, FIRST_HELPER + helper) === SHUT;

/** Pieces of a job; each is taken by one thread. */
export const pieceCount = ({ hashes, bands, counts, blocks, pieces, places }: PoolJob): number =>
  hashes.length +
  (places?.length ?? 0) +
  (pieces?.pieces ?? 0) +
  (blocks ? Math.ceil(blocks.height / blocks.pieceRows) : 0) +
  (bands ? Math.ceil(bands.plan.height / bands.rows) : 0) +
  (counts ? Math.ceil(counts.height / counts.pieceRows) : 0);

interface Runner {
  run(piece: number, rest?: Rest): void | Promise<void>;
  close(): void;
  result?(): Omit<PoolResult, 'hashes'>;
}

/**
 * Takes pieces until none is left or the job is stopped. Which thread takes which piece makes no difference to the
 * result. `between` is awaited after each piece, and within long ones.
 */
export const takePieces = async (job: PoolJob, shared: Int32Array, between?: Rest): Promise<PoolResult> => {
  const hashes: Record<string, string> = {};
  const pieces = pieceCount(job);
  const goesOn = () => Atomics.load(shared, STOPPED) === 0;
  let runner: Runner | undefined;
  try {
    for (let piece = take(shared); piece < pieces && goesOn(); piece = take(shared)) {
      const path = job.hashes[piece];
      if (path === undefined) {
        runner ??= await runnerFor(job, goesOn);
        const done = runner.run(piece - job.hashes.length, between);
        if (done) await done;
      } else {
        const hash = hashFile(path, goesOn);
        if (hash !== undefined) hashes[path] = hash;
      }
      await between?.();
    }
    return { hashes, ...runner?.result?.() };
  } catch (cause) {
    Atomics.store(shared, STOPPED, 1);
    throw cause;
  } finally {
    runner?.close();
  }
};

const runnerFor = (
  { bands, counts, blocks, pieces, places }: PoolJob,
  goesOn: () => boolean,
): Runner | Promise<Runner> => {
  if (places) return createPlaceRunner(places);
  if (pieces) return createPieceRunner(pieces);
  if (bands) return createBandJobRunner(bands, goesOn);
  return blocks ? createBlockRunner(blocks, goesOn) : createCountRunner(counts!, goesOn);
};

const take = (shared: Int32Array): number => Atomics.add(shared, NEXT, 1);

/** Puts the results of all threads together. */
export const joinResults = (results: readonly PoolResult[]): PoolResult => {
  let { upper, lower } = {} as CountResult;
  for (const result of results) {
    if (result.upper) upper = addUpper(upper, result.upper);
    if (result.lower) lower = addLower(lower, result.lower);
  }
  const hashes = Object.assign({}, ...results.map((result) => result.hashes));
  const blocks = results.flatMap((result) => result.blocks ?? []);
  const found = results.flatMap((result) => result.found ?? []);
  const places = results.flatMap((result) => result.places ?? []);
  return { hashes, blocks, found, places, ...(upper && { upper }), ...(lower && { lower }) };
};

/** What is handed to a helper. */
export interface Order {
  readonly id: number;
  readonly job: PoolJob;
  readonly shared: Int32Array;
  /** Which helper of the job it is, from 0. */
  readonly helper: number;
}

/** An outcome that crosses threads. */
export type Outcome = { readonly result: PoolResult } | { readonly fault: ErrorFields } | { readonly defect: string };

export const outcomeOf = async (work: Promise<PoolResult>): Promise<Outcome> => {
  try {
    return { result: await work };
  } catch (cause) {
    const known = systemError(cause) ?? cause;
    if (known instanceof LinewashError) return { fault: known.toFields() };
    return { defect: cause instanceof Error ? (cause.stack ?? cause.message) : String(cause) };
  }
};
