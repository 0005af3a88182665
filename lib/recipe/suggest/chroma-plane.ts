import { rgbToOklab } from '../../colour/oklab.ts';
import { SPACES } from '../../colour/spaces.ts';
import { type Matrix, multiplyVector, transpose } from '../../plane/linear.ts';
import { pseudoInverse, svd } from '../../plane/svd.ts';

/** The grey, as a display value, about which colours are measured: that of a nebula's middle tones. */
const GREY = 0.35;
const STEP = 1e-4;

/** How OKLab a and b change with small changes of red, green and blue display values about a middle grey: 2 × 3. */
export const CHROMA: Matrix = transpose(
  [0, 1, 2].map((b) => {
    const ahead = labAt(b, STEP);
    const behind = labAt(b, -STEP);
    return [1, 2].map((k) => (ahead[k]! - behind[k]!) / (2 * STEP));
  }),
);

function labAt(band: number, step: number): Float64Array {
  const { decode } = SPACES.srgb;
  const rgb = Float64Array.from([0, 1, 2], (b) => decode(GREY + (b === band ? step : 0)));
  rgbToOklab(rgb, 0, SPACES.srgb, rgb, 0);
  return rgb;
}

/** The change of red, green and blue that moves OKLab a and b as wanted and is smallest. */
export const displayChange = (a: number, b: number): number[] => multiplyVector(pseudoInverse(CHROMA), [a, b]);

/** Unit vectors of red, green and blue (rows) that span all changes of chroma: no other changes of that size change more. */
const PLANE = transpose(svd(CHROMA).v);

/** The unit change of red, green and blue whose chroma moves towards an OKLab hue in degrees. */
export const towardsHue = (hue: number): number[] => {
  const angle = (hue * Math.PI) / 180;
  const wanted = displayChange(Math.cos(angle), Math.sin(angle));
  const length = Math.hypot(...wanted);
  return wanted.map((x) => x / length);
};

/** The unit change in the same plane at a right angle to `change`, turned so that hue rises. */
export const across = (change: readonly number[]): number[] => {
  const [p, q] = PLANE as [number[], number[]];
  const [s, t] = [p, q].map((axis) => axis.reduce((sum, x, i) => sum + x * change[i]!, 0)) as [number, number];
  const turned = p.map((x, i) => -t * x + s * q[i]!);
  const [a0, b0] = multiplyVector(CHROMA, change) as [number, number];
  const [a1, b1] = multiplyVector(CHROMA, turned) as [number, number];
  return a0 * b1 - b0 * a1 > 0 ? turned : turned.map((x) => -x);
};
