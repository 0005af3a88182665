/**
 * A curve as straight lines, one for each run of float32 numbers that share exponent and the upper `m` bits of the
 * mantissa. Cells are as narrow as the numbers are small, so steep beginnings need no special care, and finding a cell
 * is a shift. With a curvature of f″ the error is f″·z²·2^(−2m)/8 at most.
 */
export interface CurveTable {
  /** 23 − m: how far the bits of a float32 are shifted to count cells. */
  readonly bits: number;
  /** Count of the cell before the first one; numbers below the first cell all belong to cell 0, a line from 0. */
  readonly base: number;
  readonly last: number;
  /** (value, slope) of each cell: value + slope · (z − start of the cell). */
  readonly pairs: Float32Array;
}

/** How well a table stands for its curve, besides what float32 arithmetic adds. */
export interface TableQuality {
  /** Largest error, and largest error in proportion to the value. */
  readonly error: number;
  readonly relativeError: number;
  /** Largest |slope · z|, alone and in proportion to the value: how much a relative error of z matters. */
  readonly condition: number;
  readonly relativeCondition: number;
}

/** Where a table begins and ends, as powers of two, and its mantissa bits. */
export interface TableShape {
  readonly low: number;
  readonly high: number;
  readonly m: number;
}

type Curve = (z: number) => number;

/** Slope from one end of a cell to the other. */
const chord = (v0: number, v1: number, z0: number, z1: number): number => Math.fround((v1 - v0) / (z1 - z0));

export const makeTable = (f: Curve, { low, high, m }: TableShape): CurveTable => {
  const last = ((high - low) << m) + 1;
  const pairs = new Float32Array(2 * (last + 1));
  let before = f(0);
  eachCell({ low, high, m }, (cell, z0, z1) => {
    const value = f(z1);
    pairs[2 * cell] = before;
    pairs[2 * cell + 1] = chord(before, value, z0, z1);
    before = value;
  });
  pairs[2 * last] = before;
  return { bits: 23 - m, base: ((low + 127) << m) - 1, last, pairs };
};

const eachCell = ({ low, high, m }: TableShape, visit: (cell: number, z0: number, z1: number) => void): void => {
  visit(0, 0, 2 ** low);
  const steps = 1 << m;
  for (let octave = low; octave < high; octave++) {
    const width = 2 ** (octave - m);
    const start = 2 ** octave;
    for (let k = 0; k < steps; k++) visit(((octave - low) << m) + k + 1, start + k * width, start + (k + 1) * width);
  }
};

/** Compares a table with its curve within every cell; `probes` are further places to look at. */
const qualityOf = (f: Curve, table: CurveTable, shape: TableShape, probes: readonly number[]): TableQuality => {
  let error = 0;
  let relativeError = 0;
  let condition = 0;
  let relativeCondition = 0;
  const look = (cell: number, start: number, z: number) => {
    const value = f(z);
    const slope = table.pairs[2 * cell + 1]!;
    const off = Math.abs(table.pairs[2 * cell]! + slope * (z - start) - value);
    error = Math.max(error, off);
    relativeError = Math.max(relativeError, off / Math.max(value, FAINTEST));
    condition = Math.max(condition, slope * z);
    if (value > FAINTEST) relativeCondition = Math.max(relativeCondition, (slope * z) / value);
  };
  eachCell(shape, (cell, z0, z1) => {
    // Cell 0 holds many octaves: look far down, but not among numbers without full precision.
    if (cell === 0) for (let z = z1; z > 2 ** -40 * z1 && z >= LEAST; z /= 4) look(0, 0, z);
    else for (const t of [0.25, 0.5, 0.75, 1]) look(cell, z0, z0 + t * (z1 - z0));
  });
  const word = new Float32Array(1);
  const bits = new Int32Array(word.buffer);
  for (const z of probes) {
    word[0] = z;
    const value = word[0];
    const cell = Math.max(0, (bits[0]! >> table.bits) - table.base);
    bits[0]! &= -1 << table.bits;
    look(cell, cell > 0 ? word[0] : 0, value);
  }
  return { error, relativeError, condition, relativeCondition };
};

/** Numbers below have no full precision in float32 and are left out of account. */
const LEAST = 2 ** -125;

/** Values below have no colour to speak of: their proportions are left out of account. */
const FAINTEST = 2 ** -100;

/** Largest table, in cells. */
const MAX_CELLS = 1 << 18;

/** Errors that a table may have. */
export type Limits = Pick<TableQuality, 'error' | 'relativeError'>;

/**
 * The smallest table on [0, 1] whose errors stay within the limits; undefined where none of up to 2^18 cells does.
 * `probes` are places where the curve may turn sharply.
 */
export const fitTable = (
  f: Curve,
  limits: Limits,
  probes: readonly number[] = [],
): { readonly table: CurveTable; readonly quality: TableQuality } | undefined => {
  const low = lowestOctave(f, limits);
  for (let m = 4; m <= 16 && -low << m <= MAX_CELLS; ) {
    const shape = { low, high: 0, m };
    const table = makeTable(f, shape);
    const quality = qualityOf(f, table, shape, probes);
    const excess = Math.max(quality.error / limits.error, quality.relativeError / limits.relativeError);
    if (excess <= 1) return { table, quality };
    // Errors fall with the square of the cell.
    m += Math.min(4, Math.max(1, Math.floor(Math.log2(excess) / 2)));
  }
  return undefined;
};

/** Below 2^low one line is good enough; −126 where it never is, which only numbers without full precision miss. */
const lowestOctave = (f: Curve, limits: Limits): number => {
  for (let low = -2; low > -126; low -= 2) {
    const value = Math.fround(f(0));
    const slope = chord(f(0), f(2 ** low), 0, 2 ** low);
    let good = true;
    for (let z = 0.75 * 2 ** low; good && z > 2 ** (low - 60) && z > LEAST; z /= 2) {
      const off = Math.abs(value + slope * z - f(z));
      good = off <= limits.error && off <= limits.relativeError * Math.max(f(z), FAINTEST);
    }
    if (good) return low;
  }
  return -126;
};
