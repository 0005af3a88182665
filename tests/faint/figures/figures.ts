import { addRows, emptyBins } from '../../../lib/faint/bins.ts';
import { mapFaint } from '../../../lib/faint/map.ts';
import { maskDiscs } from '../../../lib/faint/star-discs.ts';
import { wanderOf } from '../../../lib/faint/wander.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { boxAround, rowWithin } from '../../../lib/plane/outline.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { findFaint } from '../../../lib/work/faint.ts';
import type { FaintFeature } from '../../../lib/work/faint-report.ts';
import { type LineTruth, lineTruth, type TargetName } from '../../../samples/scene/index.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';
import { binsOf, noisy, WHITE } from '../planes.ts';
import { combinedLine, drawYears, masterOf, trueContrast } from '../scene.ts';
import { type Planted, placesFor, plant, type Shape } from './shapes.ts';

/** Blobs that noise alone makes in a frame with holes, where `falseBlobs` are stated. */
export const noiseBlobs = (seed: number, falseBlobs: number) => {
  const [width, height] = [1200, 800];
  const next = randomNumbers(seed);
  const bins = binsOf(noisy(width, height, seed), width);
  maskDiscs(
    bins,
    Array.from({ length: 300 }, () => ({ x: next() * width, y: next() * height, radius: 3 + 11 * next() })),
  );
  const { scales } = mapFaint(bins, WHITE, { falseBlobs, largest: 64, flats: () => 0 });
  const sum = (of: 'bright' | 'dark') => scales.reduce((total, scale) => total + scale[of], 0);
  return { bright: sum('bright'), dark: sum('dark') };
};

/** Whether a pixel within a few of a place lies inside an outline. */
const isOutlined = (features: readonly FaintFeature[], { x, y }: Planted, near: number): boolean =>
  features.some(({ outline }) => {
    const box = boxAround(outline);
    if (x + near < box.x || x - near > box.x + box.width || y + near < box.y || y - near > box.y + box.height)
      return false;
    for (let row = y - near; row <= y + near; row++) {
      const spans = rowWithin(outline, row);
      for (let k = 0; k < spans.length; k += 2) if (spans[k]! <= x + near && spans[k + 1]! > x - near) return true;
    }
    return false;
  });

/** The share of planted shapes that is outlined in a master, those left out where something is outlined without them. */
export const shareFound = async (source: PlaneSource, shape: Shape, deviations: number, seed: number) => {
  const { width, height } = source;
  const plain = new Float32Array(width * height);
  await source.readRows(0, height, plain as never);
  const wish = { flats: 0 };
  const before = await findFaint({ name: 'O', source }, wish);
  const near = Math.ceil(shape.reach / 8);
  const places = placesFor(shape, width, height).filter((place) => !isOutlined(before.features, place, near));
  const light = deviations * Math.sqrt(before.noise.variance);
  const data = plant(plain, width, shape, places, light, seed);
  const { features } = await findFaint(
    { name: 'O', source: planeSource('O', { width, height, data }, source.facts) },
    wish,
  );
  return { found: places.filter((place) => isOutlined(features, place, near)).length, all: places.length };
};

/** A master of the sky of a target, with its stars and gradient, without any nebula or flaw. */
export const skyMaster = (target: TargetName, seed: number, noiseSeed: number): PlaneSource => {
  const truth = lineTruth({ target, seed, width: 1600, height: 1000, coverage: false, flaws: {} }, 'O');
  const sky = { ...truth, mean: truth.mean.map((value, i) => value - truth.nebula[i]!) };
  return masterOf(sky, noiseSeed);
};

/** What flats of one master leave by scale, from the drawn flats alone, over light. */
const trueFlats = (now: LineTruth, before: LineTruth, light: number) => {
  const flat = ({ flaws, sky, gradient }: LineTruth) =>
    flaws!.flats.map((factor, i) => (factor - 1) * (sky + gradient[i]!));
  const [a, b] = [flat(now), flat(before)];
  const bins = emptyBins(now.width, now.height);
  addRows(
    bins,
    Float32Array.from(a, (v, i) => v - b[i]!),
    now.width,
    0,
    now.height,
    0,
  );
  return wanderOf(bins, { ...WHITE, noise: { ...WHITE.noise, variance: 1e-12 }, light }, 64);
};

/** Two masters of the field with a faint shell: outlines on it and where nothing is, hours, and flats. */
export const sceneFigures = async (seed: number, noiseSeed: number) => {
  const { now, before, sources } = drawYears({ width: 1600, height: 1000, seed }, noiseSeed);
  const found = await findFaint(await combinedLine(sources), {});
  const inside = (plane: Float32Array, { box, outline }: FaintFeature) => {
    let [sum, count] = [0, 0];
    for (let y = box.y; y < box.y + box.height; y++) {
      const row = rowWithin(outline, y);
      for (let k = 0; k < row.length; k += 2)
        for (let x = row[k]!; x < row[k + 1]!; x++, count++) sum += plane[y * now.width + x]!;
    }
    return sum / count;
  };
  const others = now.nebula.map((value, i) => value - now.shell![i]!);
  const sky = found.features.filter((of) => inside(others, of) < 2);
  const shell = sky.filter((of) => inside(now.shell!, of) > 0.5);
  const hours = shell.flatMap((of) => {
    const contrast = of.area && trueContrast(now.shell!, found, of);
    const told = of.hours.find(({ aim }) => aim === 5);
    if (contrast === undefined || told === undefined || !(contrast > 0.3) || of.scale < 16) return [];
    const truth = found.hours! * ((5 * of.area!.noise) / contrast) ** 2;
    return [truth >= told.least && truth <= (told.most ?? Number.POSITIVE_INFINITY)];
  });
  const truth = trueFlats(now, before, found.light);
  // The largest scale may be known in too small a part of the sky.
  const flats = [16, 32].map((scale) => {
    const of = (all: typeof truth) => all.find((one) => one.scale === scale)!.flats;
    return of([...found.wander!]) / of(truth);
  });
  return {
    shell: shell.length,
    shellPixels: shell.reduce((sum, { pixels }) => sum + pixels, 0),
    elsewhere: sky.filter((of) => !shell.includes(of)).length,
    hours: { inside: hours.filter(Boolean).length, all: hours.length },
    flats,
    limit:
      (found.scales.find(({ scale }) => scale === 32)!.u * found.scales.find(({ scale }) => scale === 32)!.unevenness) /
      found.light,
  };
};
