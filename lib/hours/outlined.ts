import { type Box, boxWithin } from '../plane/box.ts';
import { inputError } from '../plane/errors.ts';
import { boxAround, type Rings, rowWithin } from '../plane/outline.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { clipSorted } from '../plane/robust.ts';
import { samplesFor } from '../plane/strips.ts';

/** The mean of some pixels, stars clipped, and how many count. */
export interface ClippedMean {
  readonly value: number;
  readonly pixels: number;
}

/** An outlined area of a line, and the ring around it. */
export interface Outlined {
  readonly box: Box;
  readonly inside: ClippedMean;
  readonly around: ClippedMean;
}

/** The ring is as wide as a quarter of the box around the area, within these. */
const RING = { share: 0.25, least: 16, most: 64 } as const;
/** Fewer pixels say nothing. */
const FEWEST = 16;
const SIGMAS = 3;

/**
 * Reads an area of a line and what lies around it.
 * @throws LinewashError 'input' where area or ring leave the picture or hold too little data
 */
export const readOutlined = async (source: PlaneSource, outline: Rings): Promise<Outlined> => {
  const box = boxAround(outline);
  const side = Math.min(box.width, box.height);
  const room = Math.round(Math.min(RING.most, Math.max(RING.least, RING.share * side)));
  const wide = { x: box.x - room, y: box.y - room, width: box.width + 2 * room, height: box.height + 2 * room };
  const { x, y, width, height } = boxWithin(wide, source);
  const row = samplesFor(source, source.width);
  const [inside, around]: [number[], number[]] = [[], []];
  for (let r = y; r < y + height; r++) {
    await source.readRows(r, 1, row);
    const spans = rowWithin(outline, r);
    for (let c = x, next = 0; c < x + width; c++) {
      while (next < spans.length && spans[next]! <= c) next++;
      const value = row[c]!;
      if (value - value === 0) (next % 2 === 1 ? inside : around).push(value);
    }
  }
  if (inside.length < FEWEST || around.length < FEWEST)
    throw inputError('the outline holds too little data', 'take the outline from a map of this line', source.file);
  return { box, inside: clippedMean(inside), around: clippedMean(around) };
};

const clippedMean = (values: readonly number[]): ClippedMean => {
  const rising = Float64Array.from(values).sort();
  const { level, noise } = clipSorted(rising, SIGMAS);
  const kept = rising.filter((value) => Math.abs(value - level) <= SIGMAS * noise);
  return { value: kept.reduce((a, b) => a + b, 0) / kept.length, pixels: kept.length };
};
