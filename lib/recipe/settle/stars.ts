import { measureChannels } from '../../measure/measure.ts';
import type { Measured } from '../../plane/measured.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { findLevels, type Levels, shareScale } from '../../prepare/levels.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES } from '../../stretch/curves.ts';
import type { StarsWish } from '../written/schema.ts';
import type { SettledStars, SettledStretch } from './settled.ts';

/** Linear star pictures hold sky: black lies this many times the noise above its level, so that only stars are laid over. */
const ABOVE_SKY = 3;
const WHITE = 99.9;
/** Where no parameter is given, curves lift this share of white to that level. (Chosen by eye.) */
const LIFTED = { share: 0.02, level: 0.2 };

/**
 * The numbers of a star picture: red, green and blue on one scale, so that stars keep their colours.
 * Integer samples, and floats within 0…1, are taken as they are (display values from 0 to full scale); other floats are
 * linear light over sky, which is cut off 3 σ above its level. A recipe's own levels and curve come before both.
 * @throws LinewashError 'input' where a plane holds no data.
 */
export const settleStars = async (
  wish: StarsWish,
  sources: readonly PlaneSource[],
  options: StripOptions = {},
): Promise<SettledStars> => {
  const { levels: { black, white } = {}, stretch = {}, strength = 1 } = wish;
  const percentiles = typeof white === 'object' ? [white.percentile] : [];
  const measured: Measured[] = [];
  for (const source of sources)
    measured.push(...(await measureChannels([{ name: 'stars', source }], { ...options, percentiles })));
  const full = fullScale(sources, measured);
  const own = measured.map((m): Levels => {
    const background = full === undefined ? m.level : 0;
    return findLevels(m, background, {
      black: black ?? (full === undefined ? { noise: -ABOVE_SKY } : 0),
      white: white ?? full ?? { percentile: WHITE },
    });
  });
  const levels = shareScale(
    own,
    measured.map(({ flat }) => (flat ? undefined : 1)),
  );
  const curve = starCurve(stretch, full === undefined ? 'asinh' : 'linear');
  return { strength, channels: levels.map((l) => ({ ...l, stretch: curve })) };
};

/** The value of white in a display-encoded picture; undefined for linear light. */
const fullScale = (sources: readonly PlaneSource[], measured: readonly Measured[]): number | undefined => {
  const scales = sources.map(({ fullScale }, i) => fullScale ?? (measured[i]!.max <= 1.001 ? 1 : undefined));
  return scales.every((scale) => scale !== undefined && scale === scales[0]) ? scales[0] : undefined;
};

const starCurve = (
  { curve, a, points, background }: NonNullable<StarsWish['stretch']>,
  otherwise: 'asinh' | 'linear',
): SettledStretch => {
  const chosen = curve ?? otherwise;
  const kind: CurveKind = CURVES[chosen];
  if (points !== undefined) return { curve: chosen, points };
  if (kind.place === undefined) return { curve: chosen };
  return { curve: chosen, a: Math.fround(a ?? kind.place(LIFTED.share, background ?? LIFTED.level)) };
};
