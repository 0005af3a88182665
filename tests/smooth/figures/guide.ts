import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { operations } from '../../../lib/smooth/choose-operations.ts';
import { findNoise } from '../../../lib/smooth/find-noise.ts';
import { removedRows } from '../../../lib/smooth/removed.ts';
import { drawStack, lineTruth, type SceneOptions } from '../../../samples/scene/index.ts';
import { random } from '../../../samples/scene/random.ts';
import { correlation, difference, distance } from './measures.ts';
import { NAMES, type Size } from './pictures.ts';
import { type Draw, drawScene } from './scene.ts';

const TAPS = [1, 4, 6, 4, 1];

/** One smoothing step of the starlet transform, normalised at the border. */
const blurred = (plane: Float32Array, { width, height }: Size, step: number): Float32Array => {
  const along = (from: Float32Array, count: number, apart: number, of: (i: number) => number) => {
    const to = new Float32Array(from.length);
    for (let i = 0; i < from.length; i++) {
      const place = of(i);
      let [sum, weights] = [0, 0];
      for (let t = -2; t <= 2; t++) {
        const at = place + t * step;
        if (at < 0 || at >= count) continue;
        sum += TAPS[t + 2]! * from[i + t * step * apart]!;
        weights += TAPS[t + 2]!;
      }
      to[i] = sum / weights;
    }
    return to;
  };
  const across = along(plane, width, 1, (i) => i % width);
  return along(across, height, width, (i) => Math.floor(i / width));
};

/** What the four finest scales of the starlet transform hold. */
const detailOf = (plane: Float32Array, size: Size): Float32Array => {
  let smooth = plane;
  for (const step of [1, 2, 4, 8]) smooth = blurred(smooth, size, step);
  return difference(plane, smooth);
};

/** Pixels from the border that do not count: a moved guide lacks some. */
const BORDER = 40;

const inner = ({ width, height }: Size): Uint8Array =>
  Uint8Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    return x >= BORDER && y >= BORDER && x < width - BORDER && y < height - BORDER ? 1 : 0;
  });

const smoothedBy = async (line: Float32Array, guide: Float32Array, size: Size): Promise<Float32Array> => {
  const members = [line, guide];
  const noise = await Promise.all(members.map(async (data) => (await findNoise(planeSource('', { ...size, data })))!));
  const frame = { ...size, top: 0, rows: size.height, members };
  const [away] = removedRows(operations(), frame, { scales: 4, noise, guide: 1, lines: [0] }, 0, size.height);
  const unit = Math.sqrt(noise[0]!.variance);
  return line.map((value, i) => value - unit * away![i]!);
};

export interface GuideFigures {
  readonly line: string;
  readonly guide: string;
  /** Error of the line after smoothing over that before. */
  readonly left: number;
  /** Correlation of detail with that of the guide's truth: of the truth, and of the smoothed line. */
  readonly truth: number;
  readonly found: number;
  /** Detail of the guide in the smoothed line beyond that in the truth, in units of the noise: below 0 where it has less. */
  readonly brought: number;
  /** The same in a line of noise alone. */
  readonly inNoise: number;
}

/** Wrong guides: how the guide's picture departs from the line's. */
const GUIDES: Readonly<Record<string, Partial<SceneOptions>>> = {
  right: {},
  'another field': { seed: 103 },
  'shifted 3 pixels': { misfit: { H: { dx: 3 } } },
  'turned 2.5°': { misfit: { H: { angle: 2.5 } } },
};

/** What right and wrong guides do to the weak lines of a scene without stars. */
export const guideFigures = async ({
  seed,
  noiseSeed,
  subs,
  width = 1200,
  height = 800,
}: Draw): Promise<GuideFigures[]> => {
  const size = { width, height };
  const scene = drawScene({ seed, noiseSeed, subs, ...size, stars: false });
  const marks = inner(size);
  const hours = { S: subs[0] / 9, H: subs[1] / 9, O: subs[2] / 9 };
  const figures: GuideFigures[] = [];
  for (const [guide, change] of Object.entries(GUIDES)) {
    const shown = lineTruth({ seed, ...size, hours, coverage: false, stars: false, ...change }, 'H');
    const guideDetail = detailOf(shown.mean, size);
    const strong = drawStack(shown, noiseSeed);
    const zero = new Float32Array(guideDetail.length);
    for (const k of [0, 2]) {
      const [truth, drawn, unit] = [scene.truth[k]!, scene.drawn[k]!, scene.skyNoise[k]!];
      const { normal } = random(noiseSeed, 64 + k);
      const noise = truth.map(() => unit * normal());
      const found = await smoothedBy(drawn, strong, size);
      const [trueDetail, foundDetail] = [detailOf(truth, size), detailOf(found, size)];
      /** How much of the guide's detail a plane holds, times its root mean square, over the noise. */
      const share = (plane: Float32Array) =>
        (correlation(plane, guideDetail, marks) * distance(plane, zero, marks)) / unit;
      figures.push({
        line: NAMES[k]!,
        guide,
        left: distance(found, truth, marks) / distance(drawn, truth, marks),
        truth: correlation(trueDetail, guideDetail, marks),
        found: correlation(foundDetail, guideDetail, marks),
        brought: share(difference(foundDetail, trueDetail)),
        inNoise: share(detailOf(await smoothedBy(noise, strong, size), size)),
      });
    }
  }
  return figures;
};
