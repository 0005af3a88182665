/** Rows of a strip: a segment crosses all of them. */
export const SEGMENT = 32;

/** Beyond both ends of a strip's rows, so that segments may begin and end outside. */
const PAD = SEGMENT;

/** How far the segment of slope index s lies to the right in row r. */
const OFFSETS = Array.from({ length: SEGMENT }, (_, slope) =>
  Int8Array.from({ length: SEGMENT }, (_, row) => offset(slope, row)),
);

function offset(slope: number, row: number, rows = SEGMENT): number {
  if (rows === 1) return 0;
  const half = rows / 2;
  return row < half ? offset(slope >> 1, row, half) : ((slope + 1) >> 1) + offset(slope >> 1, row - half, half);
}

/** Sums along straight segments that cross a strip of 32 rows, by halves: each sum is that of two half as long. */
export interface StripSums {
  /** Where the strip goes: 32 rows of `length` with `PAD` zeros before and after each. */
  readonly rows: Int16Array;
  readonly stride: number;
  /** Computes the sums; they are valid until the next call. */
  sum(): void;
  /** Sums over two neighbouring segments of one slope, by start + PAD. */
  pair(slope: number, at: number): number;
  /** The least of the four parts of a pair, of eight rows each. */
  leastQuarter(slope: number, at: number): number;
}

/**
 * The sums of all segments that go down by 32 rows and right by 0 to 31 pixels: five additions a pixel for 32 directions.
 * Source: W. A. Götz & H. J. Druckmüller 1996, "A fast digital Radon transform", Pattern Recognition 29:711; M. L. Brady
 * 1998, SIAM J. Comput. 27:107.
 */
export const stripSums = (length: number): StripSums => {
  const stride = length + 2 * PAD;
  const levels = Array.from({ length: 6 }, () => new Int16Array(SEGMENT * stride));
  const [last, quarters] = [levels[5]!, levels[3]!];
  const quarter = (row: number, at: number) => quarters[row * stride + at]! + quarters[row * stride + at + 1]!;
  return {
    rows: levels[0]!,
    stride,
    sum() {
      for (let k = 0; k < 5; k++) joinHalves(levels[k]!, levels[k + 1]!, stride, 1 << k);
    },
    pair: (slope, at) => last[slope * stride + at]! + last[slope * stride + at + 1]!,
    leastQuarter(slope, at) {
      const half = slope >> 1;
      const [own, shift, lower] = [half >> 1, (half + 1) >> 1, at + ((slope + 1) >> 1)];
      const upperTwo = Math.min(quarter(own, at), quarter(8 + own, at + shift));
      return Math.min(upperTwo, quarter(16 + own, lower), quarter(24 + own, lower + shift));
    },
  };
};

/** Sums over 2h rows from those over h rows. */
const joinHalves = (from: Int16Array, into: Int16Array, stride: number, h: number): void => {
  for (let group = 0; group < SEGMENT; group += 2 * h)
    for (let slope = 0; slope < 2 * h; slope++) {
      const top = (group + (slope >> 1)) * stride;
      const shift = (slope + 1) >> 1;
      const bottom = (group + h + (slope >> 1)) * stride + shift;
      const out = (group + slope) * stride;
      const end = stride - shift;
      for (let x = 0; x < end; x++) into[out + x] = from[top + x]! + from[bottom + x]!;
      for (let x = end; x < stride; x++) into[out + x] = from[top + x]!;
    }
};

export const segmentOffset = (slope: number, row: number): number => OFFSETS[slope]![row]!;
export const segmentPad = PAD;
