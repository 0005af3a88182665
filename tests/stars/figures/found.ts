import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { splitChannels } from '../../../lib/recipe/settle/layered.ts';
import { unsmoothedChannels } from '../../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { type StarList, unpackStars } from '../../../lib/stars/star-list.ts';
import type { Drawn, Scene } from './scenes.ts';

const NAMES = ['S', 'H', 'O'] as const;

/** S, H and O as red, green and blue, all numbers found from the masters; their stars made neutral. */
const SHO: WrittenRecipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  stars: { from: 'masters', neutral: 1 },
};

export const channelsOf = ({ masters, width, height }: Scene) =>
  NAMES.map((name, k) => ({ name, source: planeSource(name, { width, height, data: masters[k]! }) }));

/** What was found in a scene's masters, as a mix finds it. */
export interface Taken {
  readonly settled: Settled;
  /** Undefined where no stars were found. */
  readonly list: StarList | undefined;
  readonly starless: readonly Float32Array[];
  readonly mask: Float32Array;
}

const rowsOf = async (source: PlaneSource): Promise<Float32Array> => {
  const data = new Float32Array(source.width * source.height);
  await source.readRows(0, source.height, data);
  return data;
};

export const takeStars = async (scene: Scene): Promise<Taken> => {
  const channels = channelsOf(scene);
  const { settled } = await settleChannels(SHO, channels);
  const { ownStars } = settled;
  if (ownStars === undefined) return { settled, list: undefined, starless: scene.masters, mask: new Float32Array(0) };
  const split = splitChannels(ownStars, unsmoothedChannels(settled, channels));
  const starless = await Promise.all(split.starless.map(rowsOf));
  return { settled, list: unpackStars(ownStars.list!), starless, mask: await rowsOf(split.mask) };
};

/** A drawn star counts as found where a listed one lies at most so many pixels away. */
const FOUND_WITHIN = 1;
/** A listed star counts as drawn where it has a drawn one at most so many pixels away for itself. */
const DRAWN_WITHIN = 1.5;

/** Whether a star is all there: its middle lies in what all lines cover, and off the edge of the frame. */
export const isWhole = ({ masters, width, height }: Scene, { x, y }: Drawn): boolean => {
  const [column, row] = [Math.round(x), Math.round(y)];
  const edge = 5;
  if (column < edge || row < edge || column >= width - edge || row >= height - edge) return false;
  return masters.every((line) => !Number.isNaN(line[row * width + column]!));
};

export const isListed = (list: StarList, { x, y }: Drawn): boolean =>
  list.x.some((listed, s) => Math.hypot(listed - x, list.y[s]! - y) <= FOUND_WITHIN);

/** The share of drawn stars between two brightnesses that is listed. */
export const completeness = (scene: Scene, list: StarList, from: number, to: number): number => {
  const wanted = scene.stars.filter((star) => star.snr >= from && star.snr < to && isWhole(scene, star));
  return wanted.filter((star) => isListed(list, star)).length / wanted.length;
};

/** The share of listed stars that were drawn. Each has a drawn one for itself, the brightest first. */
export const purity = ({ stars }: Scene, list: StarList): number => {
  const free = new Set(stars);
  const order = Array.from(list.snr.keys()).sort((a, b) => list.snr[b]! - list.snr[a]!);
  let drawn = 0;
  for (const s of order) {
    let nearest: Drawn | undefined;
    let distance = DRAWN_WITHIN;
    for (const star of free) {
      const away = Math.hypot(star.x - list.x[s]!, star.y - list.y[s]!);
      if (away <= distance) [nearest, distance] = [star, away];
    }
    if (nearest === undefined) continue;
    free.delete(nearest);
    drawn++;
  }
  return drawn / list.count;
};
