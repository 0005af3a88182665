import { points as toneKind } from '../stretch/points.ts';
import { hueStep } from './bends.ts';
import type { Bend, ChromaGain, Finish } from './finish.ts';
import { toneRatio } from './tone.ts';

/** Places of each piece at which a tone curve is looked at. */
const STEPS = 8;
/** The steepest slope of `bump` and of the fade, and the most of t · bump(t). */
const [BUMP_SLOPE, FADE_SLOPE, BUMP_MOST] = [1.54, 1.5, 0.286];

/** By how much a finish may enlarge the difference of two colours in light, about: 1 for none. */
export const magnificationOf = ({ tone, chroma, bends = [] }: Finish): number => {
  const { ratio, slope } = tone ? steepest(tone) : { ratio: 1, slope: 1 };
  const gains = bends.reduce((product, bend) => product * Math.max(1, bend.chroma), Math.max(1, chroma?.gain ?? 1));
  return Math.max(ratio ** 3 * gains, slope, chroma ? alongLightness(chroma) : 1, ...bends.map(alongHue));
};

const steepest = (tone: NonNullable<Finish['tone']>) => {
  const [ratioAt, slopeAt] = [toneRatio(tone), toneKind.slope({ points: tone })];
  const knots = [0, ...tone.map(([x]) => x), 1];
  const places = knots.flatMap((x, i) =>
    Array.from({ length: STEPS }, (_, k) => x + (((knots[i + 1] ?? x) - x) * k) / STEPS),
  );
  return { ratio: Math.max(1, ...places.map(ratioAt)), slope: Math.max(1, ...places.map(slopeAt)) };
};

const alongLightness = ({ gain, from, to, until }: ChromaGain): number =>
  1 + (Math.abs(gain - 1) * FADE_SLOPE * until * BUMP_MOST) / (to - from);

const alongHue = ({ at, to, width, chroma }: Bend): number =>
  1 + (BUMP_SLOPE * (Math.abs(hueStep(at, to)) + (Math.abs(chroma - 1) * 180) / Math.PI)) / width;
