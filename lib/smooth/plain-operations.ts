import {
  firstOf,
  GATE,
  type Grid,
  MARGIN,
  NONE,
  type Operations,
  type Shrinking,
  THRESHOLD,
  WINDOW,
} from './operations.ts';

/** Rounds to float32: the sum, product, quotient or root of two float32 numbers is then what float32 arithmetic gives. */
const f = Math.fround;
const [HELD, AGREED] = [f(GATE), f(1 + GATE)];

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

const rowSum = (row: Row, x: number, step: number): number => {
  const i = MARGIN + x;
  return fiveSum(row[i - 2 * step]!, row[i - step]!, row[i]!, row[i + step]!, row[i + 2 * step]!);
};

const normalised = (m: Float32Array, value: number, inverse: number, i: number): number =>
  inverse === NONE ? value : f(value * m[inverse + i]!);

/** The noise of a coefficient whose smooth plane has this value. */
const deviation = (smooth: number, factor: number, perCount: number): number =>
  f(factor * f(Math.sqrt(f(1 + f(perCount * Math.max(0, smooth))))));

/** 1/(1 − k), k = q/(q + 1), q = max(0, E − τ), for an energy that is a sum over WINDOW pixels: so many times that. */
const divisor = (sum: number): number => Math.max(WINDOW, f(sum - WINDOW * (THRESHOLD - 1)));

/**
 * What is removed of y over WINDOW, given t and the sums of their products over WINDOW pixels: y − kept =
 * (1 − k(V)) · (y − βt) + (1 − k(E_tt)) · βt, β = max(0, 1 − κ(1 − ρ²)/ρ²) · E_yt/E_tt, V = E_yy − 2βE_yt + β²E_tt, in as few
 * operations as possible.
 */
const removedOf = (y: number, t: number, yy: number, yt: number, tt: number): number => {
  const agree = f(f(AGREED * f(yt * yt)) - f(HELD * f(yy * tt)));
  const slope = agree > 0 ? f(agree / f(yt * tt)) : 0;
  const own = f(yy + f(slope * f(f(slope * tt) - f(yt + yt))));
  const common = f(slope * t);
  const [byGuide, byOwn] = [divisor(tt), divisor(own)];
  return f(f(f(f(y - common) * byGuide) + f(common * byOwn)) / f(byGuide * byOwn));
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
    load(grid, plane, mask, { level, scale, farthest }) {
      const [from, by, most] = [f(level), f(scale), f(farthest)];
      let missing = false;
      eachRow(grid, (offset) => {
        for (let i = offset; i < offset + grid.width; i++) {
          const value = m[plane + i]!;
          const defined = Number.isFinite(value);
          m[plane + i] = defined ? f(Math.min(most, Math.max(-most, f(value - from))) * by) : 0;
          if (defined) continue;
          m[mask + i] = 0;
          missing = true;
        }
      });
      return missing;
    },
    cover(grid, mask, plane) {
      eachRow(grid, (offset) => {
        for (let i = offset; i < offset + grid.width; i++) if (!(m[mask + i]! > 0)) m[plane + i] = 0;
      });
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
    energy(grid, from, to, step, inverse) {
      const row = rowFor(grid);
      eachRow(grid, (offset) => {
        columnSums(m, grid, from + offset, from + offset, step, row);
        for (let x = 0; x < grid.width; x++)
          m[to + offset + x] = normalised(m, rowSum(row, x, step), inverse, offset + x);
      });
    },
    invert(grid, mask, weights, whole) {
      eachRow(grid, (offset) => {
        for (let i = offset; i < offset + grid.width; i++)
          m[weights + i] = m[mask + i]! > 0 ? f(whole / m[weights + i]!) : 0;
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
          shrinkOne(m, planes, offset + x, rowSum(own, x, planes.step), rowSum(shared, x, planes.step));
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

const shrinkOne = (m: Float32Array, planes: Shrinking, i: number, ownSum: number, sharedSum: number): void => {
  const { line, guide, guideEnergy, smooth, removed, inverse, factor, perCount } = planes;
  const yy = normalised(m, ownSum, inverse, i);
  const yt = normalised(m, sharedSum, inverse, i);
  const taken = removedOf(m[line + i]!, m[guide + i]!, yy, yt, m[guideEnergy + i]!);
  m[removed + i] = f(m[removed + i]! + f(deviation(m[smooth + i]!, f(factor), f(perCount)) * taken));
};
