import { BINS, type CountRequest, type LowerCounts } from '../../plane/counting.ts';

type Table = LowerCounts[number];

/** Bins counted in one reading at most; each takes 64 KiB in every helper. */
const MOST_BINS = 64;

const spare = new WeakMap<CountRequest, Map<number, Table>>();

/**
 * Counts the wanted bins and, in the same reading, their neighbours: what is asked for next, once rough answers have
 * become exact, mostly lies there and is then known already.
 */
export const countWithNeighbours = async (
  request: CountRequest,
  bins: readonly number[],
  count: (bins: readonly number[]) => Promise<LowerCounts>,
): Promise<LowerCounts> => {
  const known = spare.get(request) ?? new Map<number, Table>();
  spare.set(request, known);
  const missing = bins.filter((bin) => !known.has(bin));
  if (missing.length > 0) {
    const near = missing.flatMap((bin) => [bin - 1, bin + 1]).filter((bin) => bin >= 0 && bin < BINS);
    const wanted = [...new Set([...missing, ...near])].slice(0, Math.max(missing.length, MOST_BINS));
    const tables = await count(wanted);
    for (const [k, bin] of wanted.entries()) known.set(bin, tables[k]!);
  }
  return bins.map((bin) => known.get(bin)!);
};
