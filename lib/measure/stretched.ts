interface Spread {
  readonly fullScale: number | undefined;
  readonly max: number;
  readonly median: number;
  readonly percentiles: Readonly<Record<string, number>>;
}

/**
 * Whether a master looks display-encoded: its median lies above 5 % of the full range and the middle 98 % of its
 * values fill more than 30 % of it. Linear masters of the sky hold a narrow peak near the bottom. Floats beyond 1 are
 * in units of their own and have no full range, so they are never said to be stretched.
 * (Common practice; a picture filled by a bright nebula can look the same, so this only warns.)
 */
export const looksStretched = ({ fullScale, max, median, percentiles }: Spread): boolean => {
  const range = fullScale ?? (max <= 1.001 ? 1 : Number.POSITIVE_INFINITY);
  const spread = percentiles['99']! - percentiles['1']!;
  return median > 0.05 * range && spread > 0.3 * range;
};
