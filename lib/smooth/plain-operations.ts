import { firstOf, GATE, type Grid, MARGIN, NONE, type Operations, type Shrinking, THRESHOLD } from './operations.ts';

/** Rounds to float32: the sum, product, quotient or root of two float32 numbers is then what float32 arithmetic gives. */
const f = Math.fround;
const TWENTY_FIFTH = f(1 / 25);
const HELD = f(GATE);

/** A row of sums with its margin of zeros. */
type Row = Float32Array;

const rowFor = ({ stride }: Grid): Row => new Float32Array(stride);

const fiveTaps = (a: number, b: number, c: number, d: number, e: number): number =>
  f(f(f(a + e) + f(4 * f(b + d))) + f(6 * c));

const fiveSum = (a: number, b: number, c: number, d: number, e: number): number => f(f(f(a + e) + f(b + d)) + c);

/** Sums of five rows around one, `step` apart, of the products of two planes. */
const columnSums = (m: Float32Array, { stride, width }: Grid, one: number, other: number, step: number, row: Row) => {
  const d = step * stride;
  const at = (x: number) => f(m[one + x]! * m[other + x]!);
  for (let x = 0; x < width; x++) row[MARGIN + x] = fiveSum(at(x - 2 * d), at(x - d), at(x), at(x + d), at(x + 2 * d));
};

const rowMean = (row: Row, x: number, step: number): number => {
  const i = MARGIN + x;
  const sum = fiveSum(row[i - 2 * step]!, row[i - step]!, row[i]!, row[i + step]!, row[i + 2 * step]!);
  return f(sum * TWENTY_FIFTH);
};

const normalised = (m: Float32Array, value: number, inverse: number, i: number): number =>
  inverse === NONE ? value : f(value * m[inverse + i]!);

/** The noise of a coefficient whose smooth plane has this value. */
const deviation = (smooth: number, factor: number, perCount: number): number =>
  f(factor * f(Math.sqrt(f(1 + f(perCount * Math.max(0, smooth))))));

/** How much of an energy lies above the threshold. */
const excess = (energy: number): number => Math.max(0, f(energy - THRESHOLD));

/**
 * What is kept of y, given t and the means of their products: k(E_tt) · βt + k(V) · (y − βt) with k(E) = q/(q + 1),
 * q = max(0, E − τ), β = max(0, 1 − κ(1 − ρ²)/ρ²) · E_yt/E_tt and V = E_yy − 2βE_yt + β²E_tt, in as few divisions as possible.
 */
const keptOf = (y: number, t: number, yy: number, yt: number, tt: number): number => {
  const square = f(yt * yt);
  const agree = f(square - f(HELD * f(f(yy * tt) - square)));
  const slope = agree > 0 ? f(agree / f(yt * tt)) : 0;
  const rest = f(yy + f(slope * f(f(slope * tt) - f(yt + yt))));
  const shared = f(slope * t);
  const [strong, own] = [excess(tt), excess(rest)];
  const [strongOne, ownOne] = [f(strong + 1), f(own + 1)];
  const first = f(f(strong * ownOne) * shared);
  const second = f(f(own * strongOne) * f(y - shared));
  return f(f(first + second) / f(strongOne * ownOne));
};

/** The operations in plain arithmetic: what faster ones are held to, byte by byte. */
export const plainOperations = (): Operations => {
  let m = new Float32Array(0);
  let laidOut = '';

  /** Calls `visit` for each row with the offset of its first value from the start of a plane's. */
  const eachRow = (grid: Grid, visit: (offset: number) => void): void => {
    const start = firstOf(grid, 0);
    for (let y = 0; y < grid.height; y++) visit(start + y * grid.stride);
  };

  return {
    memory(floats, layout) {
      if (m.length < floats) m = new Float32Array(floats);
      else if (layout !== laidOut) m.fill(0);
      laidOut = layout;
      return m;
    },
    smooth(grid, from, to, step, inverse) {
      const row = rowFor(grid);
      const d = step * grid.stride;
      eachRow(grid, (offset) => {
        const at = from + offset;
        for (let x = 0; x < grid.width; x++) {
          const i = at + x;
          row[MARGIN + x] = fiveTaps(m[i - 2 * d]!, m[i - d]!, m[i]!, m[i + d]!, m[i + 2 * d]!);
        }
        for (let x = 0; x < grid.width; x++) {
          const i = MARGIN + x;
          const sum = fiveTaps(row[i - 2 * step]!, row[i - step]!, row[i]!, row[i + step]!, row[i + 2 * step]!);
          m[to + offset + x] = normalised(m, f(sum / 256), inverse, offset + x);
        }
      });
    },
    meanSquare(grid, from, to, step, inverse) {
      const row = rowFor(grid);
      eachRow(grid, (offset) => {
        columnSums(m, grid, from + offset, from + offset, step, row);
        for (let x = 0; x < grid.width; x++)
          m[to + offset + x] = normalised(m, rowMean(row, x, step), inverse, offset + x);
      });
    },
    invert(grid, mask, weights) {
      eachRow(grid, (offset) => {
        for (let i = offset; i < offset + grid.width; i++)
          m[weights + i] = m[mask + i]! > 0 ? f(1 / m[weights + i]!) : 0;
      });
    },
    whiten(grid, plane, smooth, factor, perCount) {
      const [by, rise] = [f(factor), f(perCount)];
      eachRow(grid, (offset) => {
        for (let i = offset; i < offset + grid.width; i++) {
          const below = m[smooth + i]!;
          m[plane + i] = f(f(m[plane + i]! - below) / deviation(below, by, rise));
        }
      });
    },
    shrink(grid, planes) {
      const [own, shared] = [rowFor(grid), rowFor(grid)];
      eachRow(grid, (offset) => {
        columnSums(m, grid, planes.line + offset, planes.line + offset, planes.step, own);
        columnSums(m, grid, planes.line + offset, planes.guide + offset, planes.step, shared);
        for (let x = 0; x < grid.width; x++)
          shrinkOne(m, planes, offset + x, rowMean(own, x, planes.step), rowMean(shared, x, planes.step));
      });
    },
    halve(fine, from, coarse, to) {
      for (let y = 0; y < coarse.height; y++)
        for (let x = 0; x < coarse.width; x++)
          m[firstOf(coarse, to) + y * coarse.stride + x] = m[firstOf(fine, from) + 2 * (y * fine.stride + x)]!;
    },
    raise(coarse, from, mask, fine, to) {
      const weight = (i: number) => (mask === NONE ? 1 : m[mask + i]!);
      const value = (i: number) => (mask === NONE ? m[from + i]! : f(m[from + i]! * weight(i)));
      const below = coarse.stride;
      for (let y = 0; y < coarse.height; y++)
        for (let x = 0; x < coarse.width; x++) {
          const i = firstOf(coarse, 0) + y * coarse.stride + x;
          const at = firstOf(fine, to) + 2 * (y * fine.stride + x);
          const add = (place: number, of: (pick: (i: number) => number) => number) => {
            const share = of(weight);
            if (share > 0) m[place] = f(m[place]! + f(of(value) / share));
          };
          const along = (pick: (i: number) => number, j: number) => f(0.5 * f(pick(j) + pick(j + 1)));
          add(at, (pick) => pick(i));
          add(at + 1, (pick) => along(pick, i));
          add(at + fine.stride, (pick) => f(0.5 * f(pick(i) + pick(i + below))));
          add(at + fine.stride + 1, (pick) => f(0.5 * f(along(pick, i) + along(pick, i + below))));
        }
    },
  };
};

const shrinkOne = (m: Float32Array, planes: Shrinking, i: number, ownMean: number, sharedMean: number): void => {
  const { line, guide, guideEnergy, smooth, removed, inverse, factor, perCount, weight } = planes;
  const y = m[line + i]!;
  const yy = normalised(m, ownMean, inverse, i);
  const yt = normalised(m, sharedMean, inverse, i);
  const rest = f(y - keptOf(y, m[guide + i]!, yy, yt, m[guideEnergy + i]!));
  const s = deviation(m[smooth + i]!, f(factor), f(perCount));
  m[removed + i] = f(m[removed + i]! + f(f(weight) * f(s * rest)));
};
