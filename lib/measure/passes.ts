import type { CountPasses, CountRequest, UpperCounts } from '../plane/counting.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { isWide, type StripOptions } from '../plane/strips.ts';
import { countRows } from './count-rows.ts';
import { someValue } from './some-value.ts';

/** The fastest way to count what is asked for. */
export const passesFor = (request: CountRequest, options: StripOptions): CountPasses =>
  options.executor?.count(request, options.progress) ?? countRows(request, options);

/** Types wider than float32 are counted relative to a value of their own, so that a pedestal costs no precision. */
export const pedestalOf = async (source: PlaneSource, mask?: CountRequest['mask']): Promise<number> =>
  isWide(source) ? someValue(source, mask) : 0;

const known = new WeakMap<PlaneSource, Promise<UpperCounts>>();

/**
 * First counts of all values of a source, made once: whether zeros are borders, where data is missing and the statistics
 * all begin with them.
 */
export const firstCounts = (source: PlaneSource, options: StripOptions): Promise<UpperCounts> => {
  const before = known.get(source);
  if (before !== undefined) return before;
  const made = pedestalOf(source).then((pedestal) => passesFor({ source, mask: undefined, pedestal }, options).upper());
  known.set(source, made);
  made.catch(() => known.delete(source));
  return made;
};

/** First counts of the values that a mask leaves. */
export const upperCounts = (request: CountRequest, options: StripOptions): Promise<UpperCounts> =>
  request.mask === undefined ? firstCounts(request.source, options) : passesFor(request, options).upper();
