import { MAD_TO_SIGMA, median, sorted } from '../plane/robust.ts';
import type { Defect } from './defects.ts';
import { SPREAD, type StretchSums } from './look/stretches.ts';
import { STRETCHES } from './sizes.ts';

/** A column stands out in most of its stretches. */
const AGREE = 6;
/** Share of the pixels of a good stretch that a stretch needs. */
const COVERED = 0.25;
/** Efficiency of a median of eight, about. */
const EFFICIENCY = 0.8;
/** What is usual is the median over so many columns around. */
const AROUND = 30;
/** The least score, and from which on it is sure. */
const LEAST = 5;
const SURE = 7;
/** Only the strongest of columns so near to each other is named. */
const NEAR = 3;

/** How plainly one column stands out, below 0 where it is dark; and how far on average, in units of the noise. */
interface Standing {
  readonly score: number;
  readonly height: number;
}

/** Columns of a line that stand out from those beside them, or its rows. `high` is the line's noise in counts. */
export const columnsOf = (
  kind: 'column' | 'row',
  channel: string,
  sums: StretchSums,
  { places, length, noise }: { readonly places: number; readonly length: number; readonly noise: number },
): Defect[] => {
  const standing = standingOf(sums, places);
  return [...standing.keys()]
    .filter((at) => isPeak(standing, at))
    .map((at): Defect => {
      const { score, height } = standing[at]!;
      const end = length - 1;
      return {
        kind,
        channel,
        from: kind === 'column' ? [at, 0] : [0, at],
        to: kind === 'column' ? [at, end] : [end, at],
        width: 1,
        depth: Math.abs(height) * SPREAD * noise,
        score: Math.abs(score),
        sign: score > 0 ? 1 : -1,
        certainty: Math.abs(score) >= SURE ? 'sure' : 'possible',
      };
    });
};

const isPeak = (standing: readonly Standing[], at: number): boolean => {
  const score = Math.abs(standing[at]!.score);
  if (score < LEAST) return false;
  for (let near = at - NEAR; near <= at + NEAR; near++) {
    const other = Math.abs(standing[near]?.score ?? 0);
    if (other > score || (other === score && near < at)) return false;
  }
  return true;
};

const standingOf = ({ sums, counts }: StretchSums, places: number): Standing[] => {
  const full = Math.max(...counts);
  const pieces = Array.from({ length: places }, (_, at) =>
    Array.from({ length: STRETCHES }, (_, stretch) => {
      const [sum, count] = [sums[stretch * places + at]!, counts[stretch * places + at]!];
      return count > COVERED * full ? { standing: sum / Math.sqrt(count), height: sum / count } : undefined;
    }).filter((piece) => piece !== undefined),
  );
  const sizes = pieces.map((of) => MAD_TO_SIGMA * median(of.map(({ standing }) => Math.abs(standing))));
  return pieces.map((of, at): Standing => {
    if (of.length < AGREE) return { score: 0, height: 0 };
    const heights = sorted(of.map(({ standing }) => standing));
    const middle = median(heights);
    const agree = of.filter(({ standing }) => Math.sign(standing) === Math.sign(middle)).length;
    if (agree < (AGREE * of.length) / STRETCHES) return { score: 0, height: 0 };
    const around = sizes.slice(Math.max(0, at - AROUND), at + AROUND + 1).filter((size) => !Number.isNaN(size));
    const usual = Math.max(1, median(around));
    return {
      score: (EFFICIENCY * Math.sqrt(of.length) * middle) / usual,
      height: median(of.map(({ height }) => height)),
    };
  });
};
