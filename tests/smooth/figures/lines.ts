import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { shrink } from '../../../lib/plane/shrink.ts';
import { operations } from '../../../lib/smooth/choose-operations.ts';
import { findNoise } from '../../../lib/smooth/find-noise.ts';
import { removedRows } from '../../../lib/smooth/removed.ts';
import { random } from '../../../samples/scene/random.ts';
import { blobsAbove, difference, distance, peaksOf, ringMean, worst } from './measures.ts';
import { NAMES, oklabOf, type Planes, prepared, type Size, settledFor, unsmoothed } from './pictures.ts';
import type { Scene } from './scene.ts';

export const WEAK = [0, 2] as const;

/** Planes of normal noise. */
export const noisePlanes = (seed: number, { width, height }: Size): Float32Array[] =>
  NAMES.map((_, k) => {
    const { normal } = random(seed, k);
    return Float32Array.from({ length: width * height }, normal);
  });

/** Blobs that noise alone leaves in a line, guided by noise alone, above 3, 1 and ½ of the noise; noise found from it. */
export const noiseBlobs = async (seed: number, size: Size): Promise<number[]> => {
  const members = noisePlanes(seed, size).slice(0, 2);
  const noise = await Promise.all(members.map(async (data) => (await findNoise(planeSource('S', { ...size, data })))!));
  const frame = { ...size, top: 0, rows: size.height, members };
  const [away] = removedRows(operations(), frame, { scales: 4, noise, guide: 1, lines: [0] }, 0, size.height);
  const left = members[0]!.map((v, i) => v - away![i]! * Math.sqrt(noise[0]!.variance));
  return [3, 1, 0.5].map((limit) => blobsAbove(left, size, limit));
};

/** Error of weak lines where their light exceeds so many times the sky's noise, in units of the noise of each pixel. */
export const errorWhereStrong = ({ truth, nebula, stars, skyNoise, noise }: Scene, smooth: Planes, above: number) =>
  WEAK.map((k) => {
    const strong = nebula[k]!.map((light, i) => (light + stars[k]![i]! > above * skyNoise[k]! ? 1 : 0));
    const marks = Uint8Array.from(strong);
    const error = difference(smooth[k]!, truth[k]!, (i) => noise[k]![i]!);
    return distance(error, new Float32Array(error.length), marks);
  });

/** The largest mean residual around stars that stand above 10 times the noise, in units of the sky's noise. */
export const starResiduals = (scene: Scene, smooth: Planes) => {
  const rings = ([from, to]: readonly [number, number]) =>
    worst(
      WEAK.map((k) => {
        const places = peaksOf(scene.stars[k]!, scene, 10 * scene.skyNoise[k]!, 8);
        const residual = difference(smooth[k]!, scene.truth[k]!, () => scene.skyNoise[k]!);
        return Math.abs(ringMean(residual, scene.width, places, from, to));
      }),
    );
  return { near: rings([2, 4]), far: rings([5, 8]) };
};

/** How a preview that is `by` times smaller departs from the export: 100 × ΔE_OK, root mean square and of 99 %. */
export const previewError = async ({ drawn, width, height }: Scene, by: number) => {
  const size = { width, height };
  const settled = await settledFor(drawn, size);
  const smaller = async (planes: Planes) => {
    const longest = width / by;
    const shrunk = await Promise.all(planes.map((data) => shrink(planeSource('', { ...size, data }), longest)));
    return {
      size: { width: shrunk[0]!.width, height: shrunk[0]!.height },
      planes: shrunk.map(({ data }) => Float32Array.from(data)),
    };
  };
  const [copy, export_] = [await smaller(drawn), await smaller(await prepared(settled, drawn, size))];
  const [preview, wanted] = [
    await oklabOf(settled, await prepared(settled, copy.planes, copy.size), copy.size),
    await oklabOf(settled, await prepared(unsmoothed(settled), export_.planes, copy.size), copy.size),
  ];
  const distances = new Float64Array(preview.length / 3);
  for (let i = 0; i < distances.length; i++)
    distances[i] = 100 * Math.hypot(...[0, 1, 2].map((c) => preview[3 * i + c]! - wanted[3 * i + c]!));
  const rms = Math.sqrt(distances.reduce((sum, v) => sum + v * v, 0) / distances.length);
  return { rms, most: distances.sort()[Math.floor(0.99 * distances.length)]! };
};
