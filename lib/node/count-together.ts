import { canCountFast } from '../measure/count-kernel.ts';
import type { Counting, CountRequest } from '../plane/counting.ts';
import { uniteMasks } from '../plane/mask.ts';
import { stripRows } from '../plane/strips.ts';
import { type Crew, createCrew } from './crew.ts';
import { rawFileRows } from './raw-rows.ts';

/** Work whose counting is shared by as many threads as there are processors; they end with it. */
export const withCounting = async <T>(
  signal: AbortSignal | undefined,
  work: (counting: Counting) => Promise<T>,
): Promise<T> => {
  const crew = createCrew();
  try {
    return await work(countTogether(crew, signal));
  } finally {
    await crew.close();
  }
};

/** Counts values where rows lie uncompressed in files, on all threads of a crew. */
export const countTogether =
  (crew: Crew, signal: AbortSignal | undefined): Counting =>
  (request, progress) => {
    const job = jobFor(request);
    if (job === undefined) return undefined;
    const pixels = request.source.width * request.source.height;
    const pass = (bins: readonly number[]) =>
      crew.do({ hashes: [], counts: { ...job, bins } }, pixels, { signal, progress });
    return {
      upper: async () => (await pass([])).upper!,
      lower: async (bins) => (await pass(bins)).lower!,
    };
  };

const jobFor = ({ source, mask, pedestal }: CountRequest) => {
  const rows = rawFileRows(source);
  if (rows === undefined || !canCountFast()) return undefined;
  const unwanted = mask && rows.hidden ? uniteMasks(mask, rows.hidden) : (mask ?? rows.hidden);
  // Stored integers have no NaN to stand for pixels that do not count.
  if (unwanted !== undefined && rows.form.type !== 'f32' && rows.form.type !== 'f64') return undefined;
  return { rows: { ...rows, hidden: undefined }, mask: unwanted, pedestal, stripRows: stripRows(source.width) };
};
