import { borderZeros } from '../measure/border.ts';
import { inputError } from '../plane/errors.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import { fromFile } from '../plane/from-file.ts';
import type { Mask } from '../plane/mask.ts';
import { memoAsync } from '../plane/memo.ts';
import { hidePixels } from '../plane/memory-plane.ts';
import type { Plane, PlaneSource, SampleType } from '../plane/plane.ts';
import { shrink, shrunkSize } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Match } from '../prepare/match.ts';
import type { Zeros } from '../work/open-lines.ts';
import { type MasterSources, MIDDLE, smallCopies } from '../work/small-copies.ts';
import { openSource } from './bytes/open-source.ts';
import { poolExecutor, sharedWorkOf } from './workers/master-work.ts';
import type { Pool } from './workers/pool.ts';

/** What the page is told about an opened master. */
export interface OpenedMaster {
  readonly id: string;
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly type: SampleType;
  readonly facts: Omit<HeaderFacts, 'cards'>;
  readonly warnings: readonly string[];
  /** Endings that open the other pictures of its file, such as `[1]`. */
  readonly others?: readonly string[] | undefined;
}

/** A master that the worker holds open. Everything derived from its pixels is made once, when first asked for. */
export interface Master extends MasterSources {
  readonly blob: Blob;
  readonly opened: OpenedMaster;
  /** How it was combined from several; absent for one. */
  match?(zeros: Zeros, options?: StripOptions): Promise<Match>;
}

/** Smaller masters are read sooner than helpers start. */
const WORTH_HELPERS = 1 << 20;

/**
 * Opens a chosen file, or fetches a sample by its address.
 * @param pool who shares the work on large masters, if there is anybody
 * @throws LinewashError 'format' for what is no master, 'input' where an address cannot be fetched.
 */
export const openMaster = async (id: string, name: string, from: Blob | string, pool?: Pool): Promise<Master> => {
  const blob = typeof from === 'string' ? await fetched(name, from) : from;
  const plain = fromFile(await openSource(name, blob), { file: name, at: blob, selector: {} });
  const { file, width, height, type, others } = plain;
  const warnings = [...plain.warnings, ...((await plain.checkSums?.()) ?? [])];
  const { cards: _, ...facts } = plain.facts;
  const share = async (source: PlaneSource, hidden?: Mask): Promise<PlaneSource> => {
    const master = { id, file: name, blob };
    if (pool !== undefined && width * height >= WORTH_HELPERS) {
      const { shareWork } = await import('./workers/shared-work.ts');
      shareWork(pool, { master, source, small: shrunkSize(width, height, MIDDLE), hidden });
    }
    return source;
  };
  await share(plain);
  const hidden = memoAsync(async (_key, options) => {
    const mask = await borderZeros(plain, { ...options, executor: poolExecutor(options) });
    return mask === undefined ? plain : share(hidePixels(plain, mask), mask);
  });
  const source = async (zeros: Zeros, options: StripOptions = {}) => (zeros === 'data' ? plain : hidden('', options));
  return {
    blob,
    opened: { id, file, width, height, type, facts, warnings, ...(others?.length && { others }) },
    source,
    small: smallCopies(plain, source, middleOf),
  };
};

/** The copy that smaller ones are made from: the pool makes it on the way where it counts the source anyway. */
export const middleOf = async (from: PlaneSource, options: StripOptions): Promise<Plane> =>
  sharedWorkOf(from)?.small(options) ?? shrink(from, MIDDLE, options);

const fetched = async (name: string, address: string): Promise<Blob> => {
  const answer = await fetch(address).catch(() => undefined);
  if (!answer?.ok)
    throw inputError('the sample could not be loaded', 'reload the page, or open masters of your own', name);
  return answer.blob();
};
