import { borderZeros } from '../measure/border.ts';
import { inputError } from '../plane/errors.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import { fromFile } from '../plane/from-file.ts';
import type { Mask } from '../plane/mask.ts';
import { hidePixels, planeSource } from '../plane/memory-plane.ts';
import type { PlaneSource, SampleType } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Match } from '../prepare/match.ts';
import { shrink, shrunkSize } from '../render/shrink.ts';
import { openSource } from './bytes/open-source.ts';
import { poolExecutor, sharedWorkOf } from './workers/master-work.ts';
import type { Pool } from './workers/pool.ts';

/** Whether zeros, and what resampling leaves of them, that hang together with the border are missing data, as recipes say it. */
export type Zeros = 'undefined' | 'data';

/** Longest side of the small picture that smaller ones are made from: that of the picture on screen. */
const MIDDLE = 1600;

/** What the page is told about an opened master. */
export interface OpenedMaster {
  readonly id: string;
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly type: SampleType;
  readonly facts: Omit<HeaderFacts, 'cards'>;
  readonly warnings: readonly string[];
}

/** A master that the worker holds open. Everything derived from its pixels is made once, when first asked for. */
export interface Master {
  readonly blob: Blob;
  readonly opened: OpenedMaster;
  /** Full-size rows, border zeros hidden or not. */
  source(zeros: Zeros, options?: StripOptions): Promise<PlaneSource>;
  /** A copy whose longer side is at most `longest` pixels, in memory. */
  small(zeros: Zeros, longest: number, options?: StripOptions): Promise<PlaneSource>;
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
  const { file, width, height, type } = plain;
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
  const hidden = once(async (_key, options) => {
    const mask = await borderZeros(plain, { ...options, executor: poolExecutor(options) });
    return mask === undefined ? plain : share(hidePixels(plain, mask), mask);
  });
  const source = async (zeros: Zeros, options: StripOptions = {}) => (zeros === 'data' ? plain : hidden('', options));
  return {
    blob,
    opened: { id, file, width, height, type, facts, warnings },
    source,
    small: smallCopies(file, plain, source),
  };
};

/** Small copies of a source, each made once. */
export const smallCopies = (
  file: string,
  { width, height }: { readonly width: number; readonly height: number },
  source: Master['source'],
): Master['small'] => {
  const smaller: Remembered<PlaneSource> = once(async (key, options) => {
    const [zeros, longest] = key.split(' ') as [Zeros, string];
    // The smallest pictures are made from a small one: no further journey through the file.
    const large = Number(longest) < MIDDLE && Math.max(width, height) > MIDDLE;
    const from = await (large ? smaller(`${zeros} ${MIDDLE}`, options) : source(zeros, options));
    const shared = Number(longest) === MIDDLE ? sharedWorkOf(from) : undefined;
    return planeSource(file, await (shared?.small(options) ?? shrink(from, Number(longest), options)), from.facts);
  });
  return (zeros, longest, options = {}) => smaller(`${zeros} ${longest}`, options);
};

const fetched = async (name: string, address: string): Promise<Blob> => {
  const answer = await fetch(address).catch(() => undefined);
  if (!answer?.ok)
    throw inputError('the sample could not be loaded', 'reload the page, or open masters of your own', name);
  return answer.blob();
};

type Remembered<T> = (key: string, options: StripOptions) => Promise<T>;

/** Remembers what `make` gave for a key; a failure, such as a cancellation, is forgotten. */
export const once = <T>(make: Remembered<T>): Remembered<T> => {
  const made = new Map<string, Promise<T>>();
  return (key: string, options: StripOptions): Promise<T> => {
    const before = made.get(key);
    if (before !== undefined) return before;
    const fresh = make(key, options);
    made.set(key, fresh);
    fresh.catch(() => made.delete(key));
    return fresh;
  };
};
