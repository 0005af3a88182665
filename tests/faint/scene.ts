import { patchFor, readArea } from '../../lib/faint/area.ts';
import { addRows, emptyBins } from '../../lib/faint/bins.ts';
import type { Feature } from '../../lib/faint/features.ts';
import { type HeaderFacts, NO_FACTS } from '../../lib/plane/facts.ts';
import { isMarked } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { rowWithin } from '../../lib/plane/outline.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { combined } from '../../lib/prepare/combine.ts';
import { combineLine } from '../../lib/recipe/settle/combine-line.ts';
import type { FaintLine } from '../../lib/work/faint.ts';
import type { Faint } from '../../lib/work/faint-report.ts';
import { GAIN } from '../../samples/scene/camera.ts';
import { drawMaster, LAST_YEAR, type LineTruth, lineTruth, type SceneOptions } from '../../samples/scene/index.ts';

/** What the header of a drawn master says. */
export const factsOf = ({ subs, exposure }: Pick<LineTruth, 'subs' | 'exposure'>): HeaderFacts => ({
  ...NO_FACTS,
  cards: [{ keyword: 'EGAIN', value: GAIN }],
  subs,
  exposure,
  hours: (subs * exposure) / 3600,
});

/** A drawn master, undefined where its stack holds nothing. */
export const masterOf = (truth: LineTruth, noiseSeed: number, file = 'O.fits'): PlaneSource => {
  const { width, height, covered } = truth;
  const data = Float32Array.from(drawMaster(truth, noiseSeed), (value, i) => (covered[i] ? value : Number.NaN));
  return planeSource(file, { width, height, data }, factsOf(truth));
};

/** This year's and last year's O of the scene with a faint shell, and the truth of each. */
export const drawYears = (size: { width: number; height: number; seed?: number }, noiseSeed: number) => {
  const truthOf = (options: Partial<SceneOptions>) => lineTruth({ ...options, ...size }, 'O');
  const [now, before] = [truthOf({ target: 'palehoop' }), truthOf(LAST_YEAR)];
  const sources = [masterOf(now, noiseSeed, 'now.fits'), masterOf(before, noiseSeed + 1000, 'before.fits')];
  return { now, before, sources };
};

/** Masters of a line as one. */
export const combinedLine = async (sources: readonly PlaneSource[]): Promise<FaintLine> => {
  const match = await combineLine(sources);
  return { name: 'O', source: combined(match.parts), match };
};

/** The contrast that an area has in truth: the mean of a plane inside an outline less that of the ring that the map compares with. */
export const trueContrast = (
  truth: Float32Array,
  found: Faint,
  { box, outline, scale }: Feature,
): number | undefined => {
  const { width, height, map } = found;
  const bins = emptyBins(width, height);
  addRows(bins, truth, width, 0, height, 0);
  const { size } = bins;
  const [x, y] = [box.x / size, box.y / size];
  const within = { x, y, width: Math.ceil(box.width / size), height: Math.ceil(box.height / size) };
  const patch = patchFor(bins, within, scale);
  for (let v = 0; v < within.height; v++) {
    const row = rowWithin(outline, box.y + v * size);
    const start = (y + v - patch.y) * patch.width - patch.x;
    for (let k = 0; k < row.length; k += 2)
      patch.marks.fill(1, start + row[k]! / size, start + Math.ceil(row[k + 1]! / size));
  }
  const ground = { noise: { ...found.noise, perCount: 0 }, level: 0, light: 0 };
  const taken = (i: number) => map.ratio[i]! > 1 || isMarked(map.dark, i % map.width, Math.floor(i / map.width));
  return readArea(bins, ground, patch, scale, taken)?.contrast;
};
