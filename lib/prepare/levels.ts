import type { Measured } from '../plane/measured.ts';

/** Where black and white lie, as a recipe asks for it. Numbers are physical, relative to the background. */
export interface LevelsWish {
  /** So many times the spread below the level (recipes call the factor `noise`), or a number. */
  readonly black: { readonly noise: number } | number;
  /** A percentile of the counted pixels, or a number. */
  readonly white: { readonly percentile: number } | number;
}

/** What decided a level where the wish for it did not. */
export interface LevelLimits {
  /** `percentile 0.05`: so many times the spread lies lower. */
  readonly black?: 'percentile 0.05';
  /** `maximum`: white would not lie above black otherwise. `width`: not even the brightest pixel does. */
  readonly white?: 'maximum' | 'width';
}

/** Settled numbers of one channel before its stretch: z = clamp((x − background − black) / (white − black), 0, 1). */
export interface Levels {
  readonly background: number;
  readonly black: number;
  readonly white: number;
  /** Absent where both levels are as wished. */
  readonly limits?: LevelLimits;
}

/** The automatic black point never lies below this percentile: a frame-filling nebula has a large spread. */
const LOWEST_BLACK = '0.05';

/**
 * Levels of one channel. All three numbers are float32 values, so that every kernel subtracts the same.
 * White lies above black always: a channel without any range (flat) gets a width of 1 and comes out black, never NaN.
 */
export const findLevels = (m: Measured, background: number, wish: LevelsWish): Levels => {
  const base = Math.fround(background);
  const { black, ...low } = findBlack(m, base, wish.black);
  const wanted = typeof wish.white === 'number' ? wish.white : m.percentiles[String(wish.white.percentile)]! - base;
  const white = Math.fround(wanted);
  if (white > black) return { background: base, black, white, ...(low.limit && { limits: { black: low.limit } }) };
  const limited = (white: number, by: 'maximum' | 'width'): Levels => ({
    background: base,
    black,
    white,
    limits: { ...(low.limit && { black: low.limit }), white: by },
  });
  const top = Math.fround(m.max - base);
  if (top > black) return limited(top, 'maximum');
  return limited(Math.fround(black + Math.max(1, Math.abs(black) * 1e-3)), 'width');
};

const findBlack = (
  m: Measured,
  base: number,
  wish: LevelsWish['black'],
): { readonly black: number; readonly limit?: 'percentile 0.05' } => {
  if (typeof wish === 'number') return { black: Math.fround(wish) };
  const wished = m.level - wish.noise * m.spread;
  const lowest = m.percentiles[LOWEST_BLACK]!;
  if (wished >= lowest) return { black: Math.fround(wished - base) };
  return { black: Math.fround(lowest - base), limit: 'percentile 0.05' };
};

/**
 * One scale for all channels: channel i, times `factors[i]`, is on common footing with the others, so its width from
 * black to white is W / factor, W being the widest that any channel needs. All factors 1 keep true ratios. A channel
 * without a usable factor (undefined, or not above 0) keeps its own width.
 */
export const shareScale = (levels: readonly Levels[], factors: readonly (number | undefined)[]): Levels[] => {
  const usable = (f: number | undefined): f is number => f !== undefined && f > 0 && Number.isFinite(f);
  const widths = levels.map(({ black, white }, i) => (usable(factors[i]) ? factors[i] * (white - black) : 0));
  const widest = Math.max(...widths);
  return levels.map((l, i) => {
    const factor = factors[i];
    return usable(factor) ? { ...l, white: Math.fround(l.black + widest / factor) } : l;
  });
};

/** Where a physical value lies on the way from black to white. */
export const valueShare = (value: number, { background, black, white }: Levels): number =>
  (value - background - black) / (white - black);

/** Where the background lies on the way from black to white. */
export const backgroundShare = (m: Measured, levels: Levels): number => valueShare(m.level, levels);
