import { clampUnit } from '../../colour/encode.ts';
import { DEFAULT_GAMUT } from '../../colour/gamut.ts';
import { SPACES } from '../../colour/spaces.ts';
import { BALANCES, type Weights } from '../../mix/balance.ts';
import { inputError, recipeError } from '../../plane/errors.ts';
import type { Measured } from '../../plane/measured.ts';
import { backgroundShare, type Levels, valueShare } from '../../prepare/levels.ts';
import type { FoundStars } from '../../stars/star-list.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES } from '../../stretch/curves.ts';
import { balanceContext, channelsOf } from '../written/facts-of.ts';
import type { LevelsEntry, Recipe, StretchWish } from '../written/schema.ts';
import type { Findings } from './findings.ts';
import { settleLevels, wishFor, withFoundLevel } from './levels.ts';
import { settleOwnStars } from './own-stars.ts';
import { settleFinish } from './settle-finish.ts';
import { settleSmooth } from './settle-smooth.ts';
import type { Settled, SettledChannel, SettledStretch } from './settled.ts';

/** Where the background appears unless a recipe says otherwise. */
const BACKGROUND_TARGET = 0.12;
/**
 * Where a nebula fills the frame, the level of the darkest places says little about the rest: the curve then leaves the
 * median of the picture at this level or below.
 */
const MIDDLE_TARGET = 0.3;
/** Row sums further from 1 than this tint white enough to be worth a word. */
const ROW_SUM_TOLERANCE = 0.01;

/** Settled numbers, and what to say about how they were found. */
export interface SettleResult {
  readonly settled: Settled;
  /** What a user should know about the result, each a sentence. */
  readonly warnings: readonly string[];
}

/** The percentiles that settling this recipe needs measured. */
export const neededPercentiles = (recipe: Recipe): number[] =>
  Object.values(recipe.levels ?? {}).flatMap(({ white }) => (typeof white === 'object' ? [white.percentile] : []));

/** The channels a recipe really uses: those with a weight other than zero in the matrix or the lightness. */
export const usedChannels = (recipe: Recipe): string[] =>
  channelsOf(recipe).filter(
    (name, c) => recipe.matrix.some((row) => row[c] !== 0) || lightWeight(recipe, name, c) !== 0,
  );

/** The weight that a channel has in the lightness row as written; `least-noise` weighs whatever the matrix uses. */
const lightWeight = ({ lightness }: Recipe, name: string, column: number): number => {
  if (typeof lightness === 'string') return lightness === name ? 1 : 0;
  return lightness?.[column] ?? 0;
};

/**
 * Replaces every automatic value of a recipe by the number that these measurements give.
 * Channels whose column is zero are left out of the result. What a finish takes from the picture is left at usual numbers:
 * `settlePrepared` finds it.
 * @param findings what preparing the channels found; `measured` then holds for the prepared channels
 * @param stars those that were found in the masters, where the recipe changes them
 * @throws LinewashError 'recipe' where the matrix cannot be balanced; 'input' where hours are needed and not known.
 */
export const settle = (
  recipe: Recipe,
  measured: readonly Measured[],
  findings: Findings = {},
  stars?: FoundStars,
): SettleResult => {
  const used = usedChannels(recipe);
  const names = channelsOf(recipe);
  const found = used.map((name) => measured.find((m) => m.name === name));
  const missing = used.find((_, i) => found[i] === undefined);
  if (missing !== undefined) throw inputError(`${missing} is used, but not measured`, `measure ${missing} too`);
  const channels = (found as Measured[]).map((m) => withFoundLevel(m, findings));
  const levels = settleLevels(recipe, channels, findings);
  const balanced = balancedMatrix(recipe);
  const matrix = balanced.map((row) => used.map((name) => row[names.indexOf(name)]!));
  const inLight = recipe.mixIn === 'light';
  const settledChannels = channels.map((m, i): SettledChannel => {
    const { background: apart, surface, continuum, spots } = findings[m.name] ?? {};
    const middle = apart && { share: valueShare(m.median, levels[i]!), target: MIDDLE_TARGET };
    const stretch: SettledStretch = inLight
      ? { curve: 'linear' }
      : placeCurve(wishFor(recipe.stretch, m.name), backgroundShare(m, levels[i]!), m.flat, middle);
    return {
      name: m.name,
      ...levels[i]!,
      stretch,
      ...(surface && { surface }),
      ...(continuum && { continuum }),
      ...(spots && { spots }),
    };
  });
  const smoothing = settleSmooth(recipe, channels, findings);
  const { ownStars, warnings: starWarnings } = settleOwnStars(recipe, stars);
  const settled: Settled = {
    channels: settledChannels,
    matrix,
    mixIn: recipe.mixIn ?? 'display',
    ...(inLight ? { intensity: intensityCurve(recipe, channels, levels, matrix, findings) } : {}),
    ...lightnessOf(
      recipe,
      settledChannels,
      channels.map((m) => ({ ...m, spread: findings[m.name]?.pixelNoise ?? m.spread })),
    ),
    ...(recipe.greenLimit ? { greenLimit: { amount: recipe.greenLimit, mean: recipe.greenMean ?? 'mean' } } : {}),
    ...(smoothing.smooth && { smooth: smoothing.smooth }),
    ...(ownStars && { ownStars }),
    space: recipe.space ?? 'srgb',
    highlights: recipe.highlights ?? 'ratio',
    gamut: recipe.gamut ?? DEFAULT_GAMUT,
  };
  const finish = settleFinish(recipe);
  const warnings = [
    ...masterWarnings(recipe, channels),
    ...levelWarnings(recipe, settledChannels),
    ...rowWarnings(recipe, balanced),
    ...smoothing.warnings,
    ...starWarnings,
  ];
  return { settled: finish ? { ...settled, finish } : settled, warnings };
};

/** A place on the way from black to white, and the highest level it may have in the picture. */
interface Middle {
  readonly share: number;
  readonly target: number;
}

/**
 * The curve of a wish with its parameter found, so that a value at `share` of the range appears at the target; where
 * that would lift the middle above its own target, the middle decides.
 */
const placeCurve = (wish: StretchWish, share: number, flat: boolean, middle?: Middle): SettledStretch => {
  const curve = wish.curve ?? 'bias';
  const kind: CurveKind = CURVES[curve];
  if (curve === 'points') return { curve, points: wish.points! };
  if (kind.place === undefined || kind.range === undefined || flat) return { curve: 'linear' };
  if (wish.a !== undefined) return { curve, a: roundParameter(wish.a, kind.range) };
  const target = wish.background ?? BACKGROUND_TARGET;
  const { place, range } = kind;
  // A background at or below black cannot be lifted, one at or above white not be lowered: use the nearest that can.
  const through = (at: number, level: number) =>
    roundParameter(place(Math.min(1 - 1e-4, Math.max(1e-6, at)), level), range);
  const a = through(share, target);
  if (middle === undefined) return { curve, a };
  const highest = Math.max(middle.target, target);
  if (kind.curve({ a })(clampUnit(middle.share)) <= highest) return { curve, a };
  return { curve, a: through(middle.share, highest) };
};

/** float32 without leaving the allowed range. */
const roundParameter = (a: number, range: readonly [number, number]): number =>
  Math.min(Math.fround(range[1]), Math.max(Math.fround(range[0]), Math.fround(a)));

/** The matrix after its balance. @throws LinewashError "recipe" where it cannot be balanced. */
export const balancedMatrix = (recipe: Recipe): Weights => {
  const result = BALANCES[recipe.balance ?? 'as-written'].apply(recipe.matrix, balanceContext(recipe));
  if (!('fault' in result)) return result.weights;
  const path = result.row === undefined ? '$.balance' : `$.matrix[${result.row}]`;
  throw recipeError([{ path, message: result.fault }]);
};

/** In light, one curve for the intensity (mean of the mixed colours), placed by the background of the mix. */
const intensityCurve = (
  recipe: Recipe,
  channels: readonly Measured[],
  levels: readonly Levels[],
  matrix: Weights,
  findings: Findings,
) => {
  const mixed = (value: (m: Measured) => number): number => {
    const shares = channels.map((m, i) => clampUnit(valueShare(value(m), levels[i]!)));
    return matrix.reduce((sum, row) => sum + row.reduce((s, w, c) => s + w * shares[c]!, 0), 0) / 3;
  };
  const apart = channels.some((m) => findings[m.name]?.background !== undefined);
  const wish = wishFor(recipe.stretch, '*');
  // The targets are display levels; the curve works on light.
  const background = SPACES.srgb.decode(wish.background ?? BACKGROUND_TARGET);
  const middle = apart ? { share: mixed((m) => m.median), target: SPACES.srgb.decode(MIDDLE_TARGET) } : undefined;
  const flat = channels.every((m) => m.flat);
  return placeCurve(
    { ...wish, background },
    mixed((m) => m.level),
    flat,
    middle,
  );
};

const lightnessOf = (recipe: Recipe, settled: readonly SettledChannel[], channels: readonly Measured[]) => {
  const { lightness } = recipe;
  if (lightness === undefined || lightness === null) return {};
  const names = channelsOf(recipe);
  const weights =
    lightness === 'least-noise'
      ? settled.map((channel, i) => 1 / noiseOnScreen(channel, channels[i]!) ** 2)
      : settled.map(({ name }) => lightWeight(recipe, name, names.indexOf(name)));
  const sum = lightness === 'least-noise' ? weights.reduce((a, b) => a + b, 0) : 1;
  return { lightness: weights.map((w) => w / sum) };
};

/** Noise of a channel (`spread` holds it here) at its background after the stretch; 1 where that is nothing or without bound. */
const noiseOnScreen = (channel: SettledChannel, m: Measured): number => {
  const { curve, ...parameters } = channel.stretch;
  const share = Math.min(1, Math.max(1e-6, backgroundShare(m, channel)));
  const noise = ((CURVES[curve] as CurveKind).slope(parameters)(share) * m.spread) / (channel.white - channel.black);
  return noise > 0 && noise < Number.POSITIVE_INFINITY ? noise : 1;
};

const masterWarnings = (recipe: Recipe, channels: readonly Measured[]): string[] =>
  channels.flatMap((m) => {
    const notes: string[] = [];
    if (m.flat) notes.push(`${m.name} (${m.file}) has one value everywhere, ${m.min}: it adds nothing to the picture`);
    const curve = wishFor(recipe.stretch, m.name).curve;
    if (m.stretched && curve !== 'linear')
      notes.push(`${m.name} (${m.file}) looks stretched already. If it is, choose the linear curve for ${m.name}`);
    return notes;
  });

/** Where a recipe asks for a black point itself and does not get it; the usual one only promises to try. */
const levelWarnings = (recipe: Recipe, channels: readonly SettledChannel[]): string[] =>
  channels.flatMap(({ name, limits }) => {
    const { black } = wishFor<LevelsEntry>(recipe.levels, name);
    if (limits?.black === undefined || typeof black !== 'object') return [];
    return [
      `the black point of ${name} stops at its darkest 0.05 % of pixels, which lie above ${black.noise} times the spread below ` +
        'the sky; a number for "black" goes lower',
    ];
  });

/** A recipe that names its balance means its sums. */
const rowWarnings = (recipe: Recipe, weights: Weights): string[] => {
  if (recipe.balance !== undefined) return [];
  const sums = weights.map((row) => row.reduce((a, b) => a + b, 0));
  if (sums.every((s) => Math.abs(s - 1) <= ROW_SUM_TOLERANCE)) return [];
  const text = sums.map((s) => Number(s.toFixed(3))).join(' / ');
  return [
    `the rows sum to ${text} (red / green / blue): equal lines are tinted; "balance": "rows" makes them neutral, ` +
      'use "as-written" if this is intended',
  ];
};
