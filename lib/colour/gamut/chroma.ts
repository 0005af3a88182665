import { rgbToOklab } from '../oklab.ts';
import { firstExit, setColour, setSlope } from './boundary.ts';
import { clip } from './clip.ts';
import { type GamutMethod, inGamut, nearGamut, setGrey } from './method.ts';

const lab = new Float64Array(3);
const slope = new Float64Array(3);

/**
 * Constant lightness and hue in OKLCH, chroma reduced to the first boundary of the RGB cube: exact, as the boundary is a
 * root of a cubic. Lightness ≥ 1 gives white, ≤ 0 black; so do channels that are not finite.
 * Near the blue corner of sRGB that boundary jumps: a line of constant hue leaves the cube and enters it again.
 */
export const chroma: GamutMethod = {
  name: 'chroma',
  about: 'Keeps lightness and hue exactly and reduces chroma; near pure blue, neighbouring colours can jump apart.',
  map(rgb, at, space) {
    if (inGamut(rgb, at)) return;
    if (nearGamut(rgb, at)) {
      clip.map(rgb, at, space);
      return;
    }
    rgbToOklab(rgb, at, space, lab, 0);
    const light = lab[0]!;
    if (!(light > 0) || light >= 1) {
      setGrey(rgb, at, light >= 1 ? 1 : 0);
      return;
    }
    setSlope(lab, slope);
    setColour(light, slope, firstExit(light, slope, space.fromLms), space.fromLms, rgb, at);
  },
};
