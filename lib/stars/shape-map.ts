import type { PlaneSource } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';
import { type Found, shapeRadius } from './find/detect.ts';
import { shapeFrom } from './find/fit-shape.ts';
import { fwhmOf, type StarShape } from './shape.ts';
import type { StarList } from './star-list.ts';

/** Parts of the frame along each axis. */
export const MAP_PARTS = 3;
/** Stars of a part that its shape is found from. */
const MOST = 25;

/**
 * The shape of stars in nine parts of the frame, row by row, for each line: undefined where too few bright stars stand alone. A
 * lens out of focus or tilted shows in it. Reads rows around a few hundred stars.
 */
export const shapesOverFrame = async (
  sources: readonly PlaneSource[],
  list: StarList,
): Promise<(StarShape | undefined)[][]> => {
  const { width, height } = sources[0]!;
  const parts = Array.from({ length: MAP_PARTS ** 2 }, (): number[] => []);
  const partOf = (value: number, size: number) =>
    Math.max(0, Math.min(MAP_PARTS - 1, Math.floor((value * MAP_PARTS) / size)));
  for (let s = 0; s < list.count; s++)
    parts[partOf(list.y[s]!, height) * MAP_PARTS + partOf(list.x[s]!, width)]!.push(s);
  const maps: (StarShape | undefined)[][] = [];
  for (const [k, source] of sources.entries()) {
    const line = list.lines[k]!;
    const wish = { fwhm: fwhmOf(line.shape), noise: line.noise, full: line.full };
    const radius = shapeRadius(wish.fwhm);
    const map: (StarShape | undefined)[] = [];
    for (const part of parts) {
      const alone = brightest(list, part, 2 * radius);
      const found: Found[] = [];
      for (const s of alone) found.push(await starAt(source, list, s, radius));
      map.push(shapeFrom(found, 0, wish));
    }
    maps.push(map);
  }
  return maps;
};

/** The brightest stars of a part that have no neighbour nearly as bright within a distance. */
const brightest = ({ x, y, snr }: StarList, part: readonly number[], distance: number): number[] => {
  const order = [...part].sort((a, b) => snr[b]! - snr[a]!);
  const chosen: number[] = [];
  for (const s of order) {
    if (chosen.length === MOST) break;
    const crowded = part.some(
      (t) => t !== s && snr[t]! > 0.1 * snr[s]! && Math.hypot(x[t]! - x[s]!, y[t]! - y[s]!) < distance,
    );
    if (!crowded) chosen.push(s);
  }
  return chosen;
};

const starAt = async (source: PlaneSource, { x, y, snr }: StarList, s: number, radius: number): Promise<Found> => {
  const { width, height } = source;
  const [column, row] = [Math.round(x[s]!), Math.round(y[s]!)];
  const side = 2 * radius + 1;
  const pixels = new Float32Array(side * side).fill(Number.NaN);
  const top = Math.max(0, row - radius);
  const rows = Math.min(height, row + radius + 1) - top;
  const data = samplesFor(source, rows * width);
  await source.readRows(top, rows, data);
  for (let v = 0; v < rows; v++)
    for (let u = Math.max(0, column - radius); u < Math.min(width, column + radius + 1); u++)
      pixels[(top + v - row + radius) * side + u - column + radius] = data[v * width + u]!;
  return { x: x[s]!, y: y[s]!, snr: snr[s]!, radius, column, row, pixels, first: 0 };
};
