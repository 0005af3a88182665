import { type AreaReading, type HoursTo, hoursTo, patchFor, readArea } from '../faint/area.ts';
import type { Bins } from '../faint/bins.ts';
import { featuresOf } from '../faint/features.ts';
import { type FaintMap, mapFaint } from '../faint/map.ts';
import type { Ground } from '../faint/octave.ts';
import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { inputError, LinewashError } from '../plane/errors.ts';
import { inHalves } from '../plane/progress.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Match } from '../prepare/match.ts';
import { flatsOfMasters } from './faint-flats.ts';
import { binned, prepareLine } from './faint-line.ts';
import { type AskedArea, type Faint, type FaintWish, USUAL } from './faint-report.ts';
import { limitsOf } from './faint-words.ts';

/** Flats are as uneven as stated from this scale on, in proportion below: noise hides the rest. */
const FLAT_SCALE = 16;
/** An area and its ring lie in flats that are uneven at all scales from that of the area to that of both. */
const RING_SCALES = [1, 2, 4];
/** Hours are told for this significance beside the aim. */
const SEEN = 3;

/** A line, with its masters where there are several. */
export interface FaintLine extends Channel {
  readonly match?: Match | undefined;
}

/**
 * What stands out of the noise of a line, over scales from 4 pixels on, and how certain that is. Reads the line three times in strips,
 * twice more each of two masters. The method and its figures: docs/maths/faint.md.
 * @throws LinewashError 'input' where the line shows no noise or is too small, 'usage' where the wish makes no sense
 */
export const findFaint = async (line: FaintLine, wish: FaintWish, options: StripOptions = {}): Promise<Faint> => {
  const { name, source, match } = line;
  const { falseBlobs = USUAL.falseBlobs, flats = USUAL.flats, largest = USUAL.largest, aim = USUAL.aim } = wish;
  refuseWish(wish, source);
  const [finding, mapping] = inHalves(options.progress);
  const prepared = await prepareLine(line, wish.light, { ...options, progress: finding });
  const { bins, ground, stars } = await binned(prepared, { ...options, progress: mapping });
  const masters = await flatsOfMasters(match, { bins, ground, stars, largest }, options);
  const stated = (scale: number) => flats * Math.min(1, scale / FLAT_SCALE);
  const left = wish.flats === undefined ? (masters?.left ?? stated) : stated;
  const map = mapFaint(bins, ground, { falseBlobs, largest, flats: left });
  const hours = wish.hours ?? source.facts.hours;
  const until = (area: AreaReading | undefined, scale: number, isBlind: boolean): HoursTo[] => {
    if (area === undefined || hours === undefined) return [];
    const unevenness =
      Math.abs(ground.light) * Math.hypot(...RING_SCALES.map((by) => left(Math.min(largest, by * scale))));
    return [...new Set([SEEN, aim])].flatMap((k) => hoursTo(area, { hours, aim: k, unevenness, isBlind }) ?? []);
  };
  const features = featuresOf(map, bins, ground, source).map((of) => ({
    ...of,
    hours: until(of.area, of.scale, true),
  }));
  const asked = wish.box && askedArea(wish.box, bins, ground, map);
  const { width, height } = source;
  const found = {
    name,
    width,
    height,
    noise: ground.noise,
    light: ground.light,
    hours,
    falseBlobs,
    stars: stars.length,
    map,
    scales: map.scales,
    features,
    ...(asked && { asked: { ...asked, hours: until(asked.area, asked.scale, false) } }),
    ...(masters && { wander: masters.wander }),
  };
  return { ...found, limits: limitsOf(found, aim) };
};

const refuseWish = ({ largest = USUAL.largest, box }: FaintWish, size: { width: number; height: number }): void => {
  const fault = (message: string, advice: string) => new LinewashError({ tag: 'usage', message, advice });
  if (!(largest >= 4 && largest <= 256 && Number.isInteger(Math.log2(largest))))
    throw fault(`the largest scale is 4, 8, 16 … 256 pixels, not ${largest}`, 'give one of these');
  if (box === undefined) return;
  const { x, y, width, height } = box;
  if (x < 0 || y < 0 || width < 1 || height < 1 || x + width > size.width || y + height > size.height)
    throw inputError(
      `the box ${x},${y},${width},${height} leaves the picture of ${size.width} × ${size.height} pixels`,
      'give left, top, width and height in pixels, counted from 0 at the top left',
    );
};

/** The ring of a box is as wide as that of a feature of its size. */
const askedArea = (box: Box, bins: Bins, ground: Ground, map: FaintMap): Omit<AskedArea, 'hours'> => {
  const { size } = bins;
  const [x, y] = [Math.floor(box.x / size), Math.floor(box.y / size)];
  const within = {
    x,
    y,
    width: Math.ceil((box.x + box.width) / size) - x,
    height: Math.ceil((box.y + box.height) / size) - y,
  };
  const side = Math.min(box.width, box.height);
  const scale = map.scales.reduce((best, of) => (of.scale <= side / 2 ? of.scale : best), 2 * size);
  const patch = patchFor(bins, within, scale);
  for (let v = 0; v < within.height; v++) {
    const start = (y + v - patch.y) * patch.width + x - patch.x;
    patch.marks.fill(1, start, start + within.width);
  }
  return { box, scale, area: readArea(bins, ground, patch, scale, (i) => map.ratio[i]! > 1) };
};
