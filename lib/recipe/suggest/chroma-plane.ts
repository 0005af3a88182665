import { rgbToOklab } from '../../colour/oklab.ts';
import { SPACES } from '../../colour/spaces.ts';
import { type Matrix, multiplyVector, transpose } from '../../plane/linear.ts';
import { pseudoInverse } from '../../plane/svd.ts';

/** The grey, as a display value, about which colours are measured: that of a nebula's middle tones. */
const GREY = 0.35;
const STEP = 1e-4;

/** How OKLab a and b change with small changes of red, green and blue display values about a grey: 2 × 3. */
export const chromaSlopes = (grey: number): Matrix =>
  transpose(
    [0, 1, 2].map((b) => {
      const ahead = labAt(grey, b, STEP);
      const behind = labAt(grey, b, -STEP);
      return [1, 2].map((k) => (ahead[k]! - behind[k]!) / (2 * STEP));
    }),
  );

/** The same about a middle grey. */
export const CHROMA: Matrix = chromaSlopes(GREY);

function labAt(grey: number, band: number, step: number): Float64Array {
  const { decode } = SPACES.srgb;
  const rgb = Float64Array.from([0, 1, 2], (b) => decode(grey + (b === band ? step : 0)));
  rgbToOklab(rgb, 0, SPACES.srgb, rgb, 0);
  return rgb;
}

/** The change of red, green and blue that moves OKLab a and b as wanted and is smallest. */
export const displayChange = (a: number, b: number): number[] => multiplyVector(pseudoInverse(CHROMA), [a, b]);

/** The unit change of red, green and blue whose chroma moves towards an OKLab hue in degrees. */
export const towardsHue = (hue: number): number[] => {
  const angle = (hue * Math.PI) / 180;
  const wanted = displayChange(Math.cos(angle), Math.sin(angle));
  const length = Math.hypot(...wanted);
  return wanted.map((x) => x / length);
};
