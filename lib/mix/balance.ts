/** A 3 × N matrix: rows red, green, blue; columns the channels. */
export type Weights = readonly (readonly number[])[];

/** What some balances need to know beside the matrix. */
export interface BalanceContext {
  /** Values of the channels, in column order, that become white. */
  readonly white?: readonly number[] | undefined;
  /** Relative luminance of red, green and blue in the recipe's space. */
  readonly luminance: readonly [number, number, number];
}

/** One way to normalize a matrix. Returns the balanced matrix, or says why it cannot. */
export interface BalanceKind {
  readonly name: string;
  /** One sentence for the reference page and the page's menu. */
  readonly about: string;
  /** The balanced matrix. */
  apply(weights: Weights, context: BalanceContext): { weights: number[][] } | { fault: string; row?: number };
}

const COLOURS = ['red', 'green', 'blue'];
const SMALLEST_SUM = 1e-9;
const sum = (row: readonly number[]) => row.reduce((total, w) => total + w, 0);
const scaled = (weights: Weights, factors: readonly number[]) =>
  weights.map((row, r) => row.map((w) => w * factors[r]!));
const sameForAll = (weights: Weights, largest: number, of: string) =>
  largest < SMALLEST_SUM
    ? { fault: `the largest ${of} is ${largest}, so there is nothing to divide by` }
    : { weights: scaled(weights, [1 / largest, 1 / largest, 1 / largest]) };

const asWritten: BalanceKind = {
  name: 'as-written',
  about: 'The weights as they stand.',
  apply: (weights) => ({ weights: weights.map((row) => [...row]) }),
};

const rows: BalanceKind = {
  name: 'rows',
  about: 'Each row over its sum: where all channels are equal, the picture is neutral grey.',
  apply(weights) {
    const sums = weights.map(sum);
    const bad = sums.findIndex((s) => s < SMALLEST_SUM);
    if (bad < 0)
      return {
        weights: scaled(
          weights,
          sums.map((s) => 1 / s),
        ),
      };
    return { fault: `the weights of ${COLOURS[bad]} sum to ${sums[bad]}, so its row cannot be balanced`, row: bad };
  },
};

const peak: BalanceKind = {
  name: 'peak',
  about: 'All rows over the largest sum of positive weights: nothing exceeds white, tints are kept.',
  apply: (weights) =>
    sameForAll(weights, Math.max(...weights.map((row) => sum(row.filter((w) => w > 0)))), 'sum of positive weights'),
};

const absolute: BalanceKind = {
  name: 'absolute',
  about: 'All rows over the largest sum of absolute weights: no value leaves −1…1.',
  apply: (weights) => sameForAll(weights, Math.max(...weights.map((row) => sum(row.map(Math.abs)))), 'sum of weights'),
};

const white: BalanceKind = {
  name: 'white',
  about: 'Each row over its value at the channel values named in `white`: those become white.',
  apply(weights, context) {
    const values = context.white;
    if (values === undefined)
      return { fault: 'the balance white needs "white": the value of each channel that becomes white' };
    const reached = weights.map((row) => row.reduce((total, w, c) => total + w * values[c]!, 0));
    const bad = reached.findIndex((v) => v < SMALLEST_SUM);
    if (bad < 0)
      return {
        weights: scaled(
          weights,
          reached.map((v) => 1 / v),
        ),
      };
    return { fault: `the white values give ${COLOURS[bad]} ${reached[bad]}, so its row cannot be balanced`, row: bad };
  },
};

const equalLight: BalanceKind = {
  name: 'equal-light',
  about: 'Each column scaled to the same luminance, so that equal lines look equally bright; for mixing in light.',
  apply(weights, { luminance }) {
    const count = weights[0]!.length;
    const lights = Array.from({ length: count }, (_, c) => luminance.reduce((y, l, r) => y + l * weights[r]![c]!, 0));
    const lit = lights.filter((y) => y !== 0);
    if (lit.length === 0 || lit.some((y) => y < SMALLEST_SUM))
      return { fault: 'a line gives no light of its own or takes some away, so lines cannot be made equally bright' };
    // The mean luminance is kept, so that the picture as a whole stays as bright.
    const mean = lit.reduce((a, b) => a + b, 0) / lit.length;
    return { weights: weights.map((row) => row.map((w, c) => (lights[c] === 0 ? w : (w * mean) / lights[c]!))) };
  },
};

/** Every balance by name, in the order menus show them. */
export const BALANCES = {
  'as-written': asWritten,
  rows,
  peak,
  absolute,
  white,
  'equal-light': equalLight,
} as const satisfies Record<string, BalanceKind>;

/** A balance that a recipe can name. */
export type BalanceName = keyof typeof BALANCES;

export const BALANCE_NAMES = Object.keys(BALANCES) as readonly BalanceName[] as readonly [
  BalanceName,
  ...BalanceName[],
];
