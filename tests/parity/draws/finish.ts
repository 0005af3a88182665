import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { curveFor } from './curves.ts';
import type { Gamut, Triple } from './formulas.ts';

type Finish = NonNullable<Settled['finish']>;

const apart = (from: number, to: number): number => ((((to - from) % 360) + 540) % 360) - 180;
const bell = (t: number): number => (Math.abs(t) < 1 ? (1 - t * t) ** 2 : 0);

/** docs/maths/finish.md: linear light to linear light. */
export const finishFor = ({ tone, chroma, bends = [] }: Finish, gamut: Gamut): ((rgb: Triple) => Triple) => {
  const curve = tone && curveFor({ curve: 'points', points: tone });
  return (rgb) => {
    const q = gamut.toCones(rgb);
    const grey = 0.2 * q[0] + 0.7 * q[1] + 0.1 * q[2];
    if (!(grey > 0)) return [0, 0, 0];
    const f = Math.min(1, ...q.filter((v) => v < 0.1 * grey).map((v) => (0.9 * grey) / (grey - v)));
    const [light, a, b] = gamut.toLab(rgb.map((v) => grey + f * (v - grey)) as Triple);
    const size = Math.hypot(a, b);
    const hue = (Math.atan2(b, a) * 180) / Math.PI;
    const ratio = curve ? curve(Math.min(1, light)) / Math.min(1, light) : 1;
    let factor = ratio;
    if (chroma) {
      const t = Math.min(1, Math.max(0, (light - chroma.from) / (chroma.to - chroma.from)));
      factor *= 1 + (chroma.gain - 1) * (3 * t ** 2 - 2 * t ** 3) * bell(size / chroma.until);
    }
    let turned = hue;
    for (const bend of bends) {
      const share = bell(apart(bend.at, hue) / bend.width);
      turned += apart(bend.at, bend.to) * share;
      factor *= 1 + (bend.chroma - 1) * share;
    }
    const angle = (turned * Math.PI) / 180;
    return gamut.fromLab([light * ratio, size * factor * Math.cos(angle), size * factor * Math.sin(angle)]);
  };
};
