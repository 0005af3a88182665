import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import { type CheckSizes, SQUARES } from '../sizes.ts';
import { indexIn, type LineRows } from './rows.ts';

/** A Gaussian less one that is so much wider. */
const WIDER = 1.6;
/** The finer difference answers a pixel, the wider one what is larger than a point. */
const FINE = 0.8;
const WIDE = 2.5 * FINE;

/** Weights of a square around a pixel, row by row. */
interface Difference {
  readonly reach: number;
  readonly weights: Float32Array;
}

const differenceOf = (sigma: number): Difference => {
  const reach = Math.ceil(4 * WIDER * sigma);
  const side = 2 * reach + 1;
  const bell = (of: number) => {
    const one = Float64Array.from({ length: side }, (_, i) => Math.exp(-((i - reach) ** 2) / (2 * of * of)));
    const sum = one.reduce((a, b) => a + b);
    return one.map((v) => v / sum);
  };
  const [narrow, wide] = [bell(sigma), bell(WIDER * sigma)];
  const weights = new Float32Array(side * side);
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++) weights[y * side + x] = narrow[y]! * narrow[x]! - wide[y]! * wide[x]!;
  return { reach, weights };
};

const FINER = differenceOf(FINE);
const WIDER_ONE = differenceOf(WIDE);

/** What a difference of Gaussians gives at a pixel; NaN where what it needs is undefined, unless `missing` stands for that. */
const answer = (rows: LineRows, { reach, weights }: Difference, x: number, y: number, missing = Number.NaN): number => {
  const { width, data } = rows;
  if (x < reach || x >= width - reach) return Number.NaN;
  let sum = 0;
  let k = 0;
  for (let dy = -reach; dy <= reach; dy++) {
    const start = indexIn(rows, x - reach, y + dy);
    for (let i = start; i <= start + 2 * reach; i++) {
      const value = data[i]!;
      sum += weights[k++]! * (Number.isNaN(value) ? missing : value);
    }
  }
  return sum;
};

/** The light of a point at a pixel, on a scale of its own: a pixel of height 1 gives .15. */
export const pointLight = (rows: LineRows, x: number, y: number): number => answer(rows, FINER, x, y);

/** Rows of lights that are kept: a point is compared with those two rows above and below it. */
const KEPT = 5;
/** A row that no frame has. */
const NOT_YET = -KEPT;

/** `pointLight` of one line that works out each pixel once, while it is asked for rows near to one another. */
export const createLights = (width: number) => {
  const lights = new Float64Array(KEPT * width);
  const rowOf = new Int32Array(KEPT * width).fill(NOT_YET);
  return (rows: LineRows, x: number, y: number): number => {
    const at = ((y + KEPT) % KEPT) * width + x;
    if (rowOf[at] !== y) {
      rowOf[at] = y;
      lights[at] = pointLight(rows, x, y);
    }
    return lights[at]!;
  };
};

/** The light of a point 2.5 times as wide, whose undefined surroundings count as level. */
export const wideLight = (rows: LineRows, x: number, y: number): number =>
  answer(rows, WIDER_ONE, x, y, rows.data[indexIn(rows, x, y)]);

/** Pixels of a tile that are looked at, in each direction. */
const LOOKS = 8;

/** Spread of the light of points in each tile of a piece, row by row; NaN where little is defined. */
export const pointSpread = (rows: LineRows, { square }: CheckSizes, across: number, down: number): Float32Array => {
  const { width, top, bottom } = rows;
  const side = SQUARES * square;
  const tiles = new Float32Array(across * down);
  const some = new Float32Array(LOOKS * LOOKS);
  for (let t = 0; t < tiles.length; t++) {
    const [left, above] = [side * (t % across), top + side * Math.floor(t / across)];
    const [wide, high] = [Math.min(side, width - left), Math.min(side, bottom - above)];
    let count = 0;
    for (let r = 0; r < LOOKS; r++)
      for (let c = 0; c < LOOKS; c++) {
        const x = left + Math.floor(((c + 0.5) * wide) / LOOKS);
        const y = above + Math.floor(((r + 0.5) * high) / LOOKS);
        const light = pointLight(rows, x, y);
        if (!Number.isNaN(light)) some[count++] = light;
      }
    tiles[t] = count < some.length / 4 ? Number.NaN : spreadOf(some, count);
  }
  return tiles;
};

const spreadOf = (some: Float32Array, count: number): number => {
  const middle = upperMedian(some, count);
  for (let i = 0; i < count; i++) some[i] = Math.abs(some[i]! - middle);
  return MAD_TO_SIGMA * upperMedian(some, count);
};
