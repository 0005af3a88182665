import { type Profile, profileOf, radiusAt } from './shape.ts';
import { noiseUnder, type StarList, starsBetween, type Window } from './star-list.ts';

/** Most pixels from its centre that the light of a star is followed to. */
export const FARTHEST = 64;
/** Light is followed down to this part of the noise of the background … */
export const FAINTEST = 0.1;
/** … and fades to nothing over this part of the distance. */
const FADING = 0.25;

/** How much of the light of a star is left at a distance, where it ends at `reach`. */
export const fadingAt = (distance: number, reach: number): number =>
  Math.max(0, Math.min(1, (reach - distance) / Math.max(1, FADING * reach)));

/** The light of a list in one line, ready to be drawn. */
export interface LineLight {
  readonly profile: Profile;
  readonly peaks: Float32Array;
  /** Of each star, in pixels. */
  readonly radii: Float32Array;
  /** Noise of a pixel under each star. */
  readonly noise: Float32Array;
}

/** The light of all lines of a list. @param farthest see `FARTHEST` */
export const lightOf = (list: StarList, farthest = FARTHEST): LineLight[] =>
  list.lines.map((line, k) => {
    const peaks = list.peaks[k]!;
    return {
      profile: profileOf(line.shape, farthest + 2),
      peaks,
      radii: peaks.map((peak) => Math.min(farthest, radiusAt(line.shape, peak, FAINTEST * line.noise))),
      noise: list.under[k]!.map((under) => noiseUnder(line, under)),
    };
  });

/**
 * Adds the light of a line's stars to the pixels of a window, row by row, in the order of the list.
 * @param model gets the light in units of the line
 * @param bright gets it in units of the noise under each star, where given; then `touched` gets 1 where there is some
 */
export const addLight = (
  list: Pick<StarList, 'x' | 'y' | 'count'>,
  { profile, peaks, radii, noise }: LineLight,
  { left, top, width, height }: Window,
  model: Float32Array,
  bright?: Float32Array,
  touched?: Uint8Array,
): void => {
  const { values, xx, yy, xy } = profile;
  const [from, to] = starsBetween(list, top - FARTHEST - 1, top + height + FARTHEST);
  for (let s = from; s < to; s++) {
    const radius = radii[s]!;
    if (radius === 0) continue;
    const [cx, cy] = [list.x[s]! - left, list.y[s]! - top];
    const [x0, x1] = [Math.max(0, Math.ceil(cx - radius)), Math.min(width - 1, Math.floor(cx + radius))];
    const [y0, y1] = [Math.max(0, Math.ceil(cy - radius)), Math.min(height - 1, Math.floor(cy + radius))];
    const peak = peaks[s]!;
    const perNoise = 1 / noise[s]!;
    const whole = Math.max(0, radius - Math.max(1, FADING * radius)) ** 2;
    for (let y = y0; y <= y1; y++) {
      const dy = y - cy;
      const row = y * width;
      for (let x = x0; x <= x1; x++) {
        const dx = x - cx;
        const away = dx * dx + dy * dy;
        if (away >= radius * radius) continue;
        const r = Math.sqrt(dx * dx * xx + dy * dy * yy + dx * dy * xy);
        const i = r | 0;
        const a = values[i]!;
        let light = peak * (a + (r - i) * (values[i + 1]! - a));
        if (away > whole) light *= fadingAt(Math.sqrt(away), radius);
        model[row + x]! += light;
        if (bright) {
          bright[row + x]! += light * perNoise;
          touched![row + x] = 1;
        }
      }
    }
  }
};
