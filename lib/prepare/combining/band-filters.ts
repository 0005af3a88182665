/** Some rows of a picture; the planes that filters take and give have this shape. Pixels beyond repeat those of the edge. */
export interface BandShape {
  readonly width: number;
  readonly rows: number;
}

/** Filters over bands of one shape, with scratch memory of their own. Values must be finite. */
export const bandFilters = ({ width, rows }: BandShape) => {
  const scratch = new Float32Array(width * rows);
  const sums = new Float64Array(width);
  const clampRow = (y: number) => Math.max(0, Math.min(rows - 1, y)) * width;
  return {
    /** Mean over a square of side 2 · radius + 1. */
    mean(from: Float32Array, into: Float32Array, radius: number): void {
      const side = 2 * radius + 1;
      for (let y = 0; y < rows; y++) meanAlong(from, scratch, y * width, width, radius);
      sums.fill(0);
      for (let k = -radius; k <= radius; k++) {
        const at = clampRow(k);
        for (let x = 0; x < width; x++) sums[x]! += scratch[at + x]!;
      }
      for (let y = 0; y < rows; y++) {
        const [at, gone, come] = [y * width, clampRow(y - radius), clampRow(y + radius + 1)];
        for (let x = 0; x < width; x++) {
          into[at + x] = sums[x]! / side;
          sums[x]! += scratch[come + x]! - scratch[gone + x]!;
        }
      }
    },
    /** Median of three along the row, then of three such down the column: single pixels leave no trace. */
    despeckle(from: Float32Array, into: Float32Array): void {
      for (let y = 0; y < rows; y++) middlesAlong(from, scratch, y * width, width);
      for (let y = 0; y < rows; y++) {
        const [a, b, c] = [clampRow(y - 1), y * width, clampRow(y + 1)];
        for (let x = 0; x < width; x++) into[b + x] = middle(scratch[a + x]!, scratch[b + x]!, scratch[c + x]!);
      }
    },
    /** Largest less smallest value of 3 × 3 pixels. `more` is scratch of the same shape. */
    range(from: Float32Array, into: Float32Array, more: Float32Array): void {
      for (let y = 0; y < rows; y++) boundsAlong(from, scratch, more, y * width, width);
      for (let y = 0; y < rows; y++) {
        const [a, b, c] = [clampRow(y - 1), y * width, clampRow(y + 1)];
        for (let x = 0; x < width; x++)
          into[b + x] =
            largest(scratch[a + x]!, scratch[b + x]!, scratch[c + x]!) -
            least(more[a + x]!, more[b + x]!, more[c + x]!);
      }
    },
  };
};

export type BandFilters = ReturnType<typeof bandFilters>;

const meanAlong = (from: Float32Array, into: Float32Array, at: number, width: number, radius: number): void => {
  const side = 2 * radius + 1;
  const tap = (x: number) => from[at + Math.max(0, Math.min(width - 1, x))]!;
  let sum = 0;
  for (let k = -radius; k <= radius; k++) sum += tap(k);
  let x = 0;
  for (; x < Math.min(width, radius + 1); x++) {
    into[at + x] = sum / side;
    sum += tap(x + radius + 1) - tap(x - radius);
  }
  for (; x < width - radius - 1; x++) {
    into[at + x] = sum / side;
    sum += from[at + x + radius + 1]! - from[at + x - radius]!;
  }
  for (; x < width; x++) {
    into[at + x] = sum / side;
    sum += tap(x + radius + 1) - tap(x - radius);
  }
};

/** The middle one of each pixel and its neighbours in the row. */
const middlesAlong = (from: Float32Array, into: Float32Array, at: number, width: number): void => {
  const last = at + width - 1;
  for (let i = at + 1; i < last; i++) into[i] = middle(from[i - 1]!, from[i]!, from[i + 1]!);
  // Between two pixels of which one counts twice, that one is the middle.
  into[at] = from[at]!;
  into[last] = from[last]!;
};

/** The largest and the smallest of each pixel and its neighbours in the row. */
const boundsAlong = (from: Float32Array, most: Float32Array, fewest: Float32Array, at: number, width: number): void => {
  const last = at + width - 1;
  for (let i = at; i <= last; i++) {
    const a = from[i === at ? at : i - 1]!;
    const b = from[i]!;
    const c = from[i === last ? last : i + 1]!;
    most[i] = largest(a, b, c);
    fewest[i] = least(a, b, c);
  }
};

// biome-ignore lint/complexity/useMathMinMax: values are finite, and Math.max looks after NaN and −0 for every pixel
const larger = (a: number, b: number): number => (a > b ? a : b);
// biome-ignore lint/complexity/useMathMinMax: as above
const smaller = (a: number, b: number): number => (a < b ? a : b);
const largest = (a: number, b: number, c: number): number => larger(larger(a, b), c);
const least = (a: number, b: number, c: number): number => smaller(smaller(a, b), c);
const middle = (a: number, b: number, c: number): number => larger(smaller(a, b), smaller(larger(a, b), c));
