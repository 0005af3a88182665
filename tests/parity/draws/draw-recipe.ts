import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import type { Dice } from './dice.ts';
import { drawFinish } from './draw-finish.ts';

type Stretch = NonNullable<WrittenRecipe['stretch']>[string];
type Levels = NonNullable<WrittenRecipe['levels']>[string];

/** What recipes can name, from the tables of the product: what is new there is drawn too. */
export interface Vocabulary {
  readonly curves: readonly string[];
  readonly balances: readonly string[];
  readonly gamuts: readonly string[];
}

/** A channel by name, with its physical values in ascending order. */
export interface Drawn {
  readonly name: string;
  readonly sorted: Float64Array;
}

/** Ranges of the parameter of each curve, as the documentation states them. */
const RANGES: Readonly<Record<string, (dice: Dice) => number>> = {
  // Even on both sides of one half, and as near to 0 and 1 as allowed.
  bias: (dice) => (dice.chance(0.5) ? dice.scale(1e-6, 0.5) : 1 - dice.scale(1e-6, 0.5)),
  asinh: (dice) => dice.scale(1e-9, 1e3),
  log: (dice) => dice.scale(1e-6, 1e9),
  power: (dice) => dice.scale(0.01, 100),
};

/** Most recipes state all their numbers, which saves measuring; the others leave some to be found. */
export const drawRecipe = (dice: Dice, channels: readonly Drawn[], words: Vocabulary): WrittenRecipe => {
  const names = channels.map(({ name }) => name);
  const mixIn = dice.pick(['display', 'light'] as const);
  const stated = dice.chance(0.8);
  const curve = () => drawStretch(dice, words, stated);
  const stretch = dice.chance(0.5) ? { '*': curve() } : { ...byName(names, curve), '*': curve() };
  return {
    channels: names,
    matrix: drawMatrix(dice, names.length),
    ...drawBalance(dice, names, mixIn, words),
    mixIn,
    space: dice.pick(['srgb', 'srgb', 'display-p3', 'srgb-linear']),
    zeros: 'data',
    ...maybe(dice, stated ? 1 : 0.5, () => ({ background: drawBackground(dice, channels) })),
    ...maybe(dice, stated ? 0 : 0.4, () => ({ scale: drawScale(dice, names) })),
    ...maybe(dice, stated ? 1 : 0.6, () => ({ levels: byName(channels, (c) => drawLevels(dice, c, stated)) })),
    stretch,
    ...maybe(dice, 0.25, () => ({ lightness: drawLightness(dice, names, stated) })),
    ...maybe(dice, 0.3, () => ({ greenLimit: dice.pick([1, dice.unit()]), greenMean: dice.pick(['mean', 'max']) })),
    ...maybe(dice, 0.25, () => ({ finish: drawFinish(dice, stated) })),
    highlights: dice.pick(['ratio', 'clip']),
    gamut: dice.pick(words.gamuts) as NonNullable<WrittenRecipe['gamut']>,
  };
};

const maybe = <T extends object>(dice: Dice, share: number, make: () => T): T | object =>
  dice.chance(share) ? make() : {};

const byName = <T, V>(items: readonly (T & (string | { name: string }))[], make: (item: T) => V): Record<string, V> =>
  Object.fromEntries(items.map((item) => [typeof item === 'string' ? item : item.name, make(item)]));

/** Round numbers whose sums cancel, mixes as people write them, and anything that is allowed. */
const drawMatrix = (dice: Dice, count: number): number[][] => {
  const kind = dice.pick(['shares', 'shares', 'signed', 'signed', 'differences', 'wild']);
  const row = () => Array.from({ length: count }, () => (dice.chance(0.25) ? 0 : WEIGHTS[kind]!(dice)));
  const rows = [row(), row(), row()];
  if (rows.flat().every((w) => w === 0)) rows[dice.whole(0, 2)]![dice.whole(0, count - 1)] = 1;
  if (kind === 'differences')
    for (const r of rows) r[0] = r.slice(1).reduce((rest, w) => rest - w, dice.pick([0, 0, 0.5, 1]));
  return rows;
};

const WEIGHTS: Readonly<Record<string, (dice: Dice) => number>> = {
  shares: (dice) => dice.pick([dice.unit(), dice.whole(1, 20) / 20]),
  signed: (dice) => dice.pick([dice.between(-1, 1.5), dice.whole(-10, 15) / 10]),
  differences: (dice) => dice.whole(-10, 10) / 10,
  wild: (dice) => dice.pick([-1, 1]) * dice.scale(1e-6, 1000),
};

const drawBalance = (dice: Dice, names: readonly string[], mixIn: string, words: Vocabulary) => {
  if (dice.chance(0.5)) return {};
  const balance = dice.pick(words.balances) as NonNullable<WrittenRecipe['balance']>;
  if (balance === 'equal-light' && mixIn !== 'light') return {};
  return balance === 'white' ? { balance, white: byName(names, () => dice.unit()) } : { balance };
};

const quantile = ({ sorted }: Drawn, share: number): number => sorted[Math.floor(share * (sorted.length - 1))] ?? 0;

const drawBackground = (dice: Dice, channels: readonly Drawn[]): NonNullable<WrittenRecipe['background']> =>
  dice.chance(0.3)
    ? { model: 'none' }
    : { model: 'level', at: byName(channels, (c) => quantile(c, dice.pick([0.1, 0.5, 0.9]))) };

const drawScale = (dice: Dice, names: readonly string[]): NonNullable<WrittenRecipe['scale']> =>
  dice.pick<NonNullable<WrittenRecipe['scale']>>(['together', 'noise', byName(names, () => dice.scale(1e-3, 1e3))]);

const drawLevels = (dice: Dice, channel: Drawn, stated: boolean): Levels => {
  const spread = quantile(channel, 1) - quantile(channel, 0);
  if (stated) {
    const black = (spread || 1) * dice.pick([0, dice.between(-0.3, 0.3)]);
    return { black, white: black + (spread || 1) * dice.pick([1, dice.scale(1e-3, 10)]) };
  }
  const black = dice.pick([
    { noise: dice.pick([3, dice.between(-100, 100), dice.between(-3, 6)]) },
    spread * dice.between(-0.3, 0.3),
    0,
  ]);
  const white = dice.pick([{ percentile: dice.between(50, 100) }, spread * dice.scale(1e-3, 10)]);
  return { black, white };
};

const drawStretch = (dice: Dice, words: Vocabulary, stated: boolean): Stretch => {
  // The usual curve as often as all others together.
  const curve = (dice.chance(0.4) ? 'bias' : dice.pick(words.curves)) as NonNullable<Stretch['curve']>;
  if (curve === 'points') return { curve, points: drawPoints(dice) };
  if (curve === 'linear') return { curve };
  const parameter = RANGES[curve];
  if (parameter === undefined) throw new RangeError(`no range for the curve ${curve}: state it in RANGES`);
  return stated || dice.chance(0.5) ? { curve, a: parameter(dice) } : { curve, background: dice.scale(0.001, 0.9) };
};

/** Up to 32 points, rising, some of them close together, so that the curve has steps. */
const drawPoints = (dice: Dice): [number, number][] => {
  const count = dice.pick([1, 2, 3, 8, 32]);
  const tight = dice.chance(0.3);
  const numbers = () => {
    const start = dice.unit();
    const all = Array.from({ length: count }, () =>
      tight && dice.chance(0.5) ? start + 1e-5 * dice.unit() : dice.unit(),
    );
    return all.map((v) => Math.min(1, v)).sort((a, b) => a - b);
  };
  const y = numbers();
  const points = numbers().map((x, i): [number, number] => [x, y[i]!]);
  return points.filter(([x], i) => i === 0 || x > points[i - 1]![0]);
};

const drawLightness = (
  dice: Dice,
  names: readonly string[],
  stated: boolean,
): NonNullable<WrittenRecipe['lightness']> => {
  const kind = dice.unit();
  if (kind < 0.3) return dice.pick(names);
  if (kind < 0.4 && !stated) return 'least-noise';
  const large = dice.pick([1, 1, 3, 1000]);
  const low = dice.pick([0, 0, -1]);
  const weights = names.map(() => large * dice.between(low, 1));
  return weights.every((w) => w === 0) ? names.map(() => 1) : weights;
};
