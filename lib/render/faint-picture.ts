import type { Feature } from '../faint/features.ts';
import type { FaintMap } from '../faint/map.ts';
import { type Colour, colourOfScale } from '../faint/scale-colours.ts';
import { isMarked } from '../plane/mask.ts';
import { drawCaption } from './caption/caption.ts';
import type { Picture } from './picture.ts';

/** Longer side of the picture in pixels: that of the frame within these. */
const SHORTEST = 640;
const LONGEST = 1600;
const LEGEND = 34;
const LETTERS = 11;
const INK = 214;
const GROUND = 34;

/** Of the rims of what is darker than its surroundings. */
const DARK: Colour = [96, 72, 150];

/** What a picture of a map shows beside it. */
export interface FaintPicture {
  readonly map: FaintMap;
  readonly features: readonly Pick<Feature, 'outline' | 'scale'>[];
  readonly width: number;
  readonly height: number;
}

/**
 * A picture of a map, 8-bit RGB: significance in grey, white from 1.5 times the threshold on; outlines in the colour of the scale;
 * violet rims around what is darker; hatched where nothing is known. A legend stands at the foot.
 */
export const faintPicture = ({ map, features, width, height }: FaintPicture): Picture => {
  const longest = Math.max(width, height);
  const zoom = Math.min(LONGEST, Math.max(SHORTEST, longest)) / longest;
  const size = { width: Math.max(1, Math.round(width * zoom)), height: Math.max(1, Math.round(height * zoom)) };
  const page = pageOf(size.width, size.height + LEGEND);
  drawMap(page, size, map, width, height);
  for (const { outline, scale } of features)
    for (const ring of outline) drawRing(page, size, ring, zoom, colourOfScale(scale));
  drawLegend(page, size, map);
  return { width: page.width, height: page.height, bands: 3, data: page.data };
};

/** The map alone, no larger than a picture of it, without outlines and legend. */
export const faintMapPicture = ({ map, width, height }: Omit<FaintPicture, 'features'>): Picture => {
  const zoom = Math.min(1, LONGEST / Math.max(width, height));
  const size = { width: Math.max(1, Math.round(width * zoom)), height: Math.max(1, Math.round(height * zoom)) };
  const page = pageOf(size.width, size.height);
  drawMap(page, size, map, width, height);
  return { ...size, bands: 3, data: page.data };
};

interface Page {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
  set(x: number, y: number, colour: Colour): void;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

const pageOf = (width: number, height: number): Page => {
  const data = new Uint8Array(3 * width * height).fill(GROUND);
  return {
    width,
    height,
    data,
    set(x, y, [red, green, blue]) {
      const at = 3 * (y * width + x);
      data[at] = red;
      data[at + 1] = green;
      data[at + 2] = blue;
    },
  };
};

/** Grey of a value over its threshold. */
const greyOf = (ratio: number): number => Math.round(Math.min(235, Math.max(8, 24 + (211 * ratio) / 1.5)));

/** Lines from the lower left to the upper right. */
const hatched = (x: number, y: number): number => ((x + y) % 8 < 2 ? 84 : 58);

const drawMap = (page: Page, size: Size, map: FaintMap, width: number, height: number): void => {
  const column = (x: number) => Math.min(map.width - 1, Math.floor((((x + 0.5) / size.width) * width) / 2));
  const columns = Int32Array.from({ length: size.width }, (_, x) => column(x));
  const isDark = (x: number, y: number) => isMarked(map.dark, x, y);
  for (let y = 0; y < size.height; y++) {
    const row = Math.min(map.height - 1, Math.floor((((y + 0.5) / size.height) * height) / 2));
    for (let x = 0; x < size.width; x++) {
      const bin = columns[x]!;
      const ratio = map.ratio[row * map.width + bin]!;
      const grey = Number.isNaN(ratio) ? hatched(x, y) : greyOf(ratio);
      page.set(x, y, isDark(bin, row) && isRim(isDark, bin, row, map) ? DARK : [grey, grey, grey]);
    }
  }
};

const isRim = (inside: (x: number, y: number) => boolean, x: number, y: number, { width, height }: Size): boolean =>
  x === 0 ||
  y === 0 ||
  x === width - 1 ||
  y === height - 1 ||
  !(inside(x - 1, y) && inside(x + 1, y) && inside(x, y - 1) && inside(x, y + 1));

/** Two pixels wide, of straight lines along rows and columns. */
const drawRing = (page: Page, size: Size, ring: readonly number[], zoom: number, colour: Colour): void => {
  const place = (value: number, most: number) => Math.min(most - 1, Math.max(0, Math.round(value * zoom)));
  for (let i = 0; i < ring.length; i += 2) {
    const next = (i + 2) % ring.length;
    const [x0, y0] = [place(ring[i]!, size.width), place(ring[i + 1]!, size.height)];
    const [x1, y1] = [place(ring[next]!, size.width), place(ring[next + 1]!, size.height)];
    for (let y = Math.max(0, Math.min(y0, y1) - 1); y <= Math.max(y0, y1); y++)
      for (let x = Math.max(0, Math.min(x0, x1) - 1); x <= Math.max(x0, x1); x++) page.set(x, y, colour);
  }
};

/** Scales by colour, then what dark rims and hatching mean. */
const drawLegend = (page: Page, { height }: Size, { scales }: FaintMap): void => {
  let left = 12;
  const entry = (text: string, fill: (x: number, y: number) => Colour): void => {
    const caption = drawCaption(text, LETTERS, page.width);
    const top = height + Math.round((LEGEND - LETTERS) / 2);
    if (left + 18 + caption.width > page.width) return;
    for (let y = 0; y < LETTERS; y++) for (let x = 0; x < 14; x++) page.set(left + x, top + y, fill(x, y));
    writeText(page, caption, left + 18, height + Math.round((LEGEND - caption.height) / 2));
    left += caption.width + 34;
  };
  for (const { scale, known } of scales) if (known > 0) entry(`${scale} px`, () => colourOfScale(scale));
  entry('darker', () => DARK);
  entry('unknown', (x, y) => {
    const grey = hatched(x, y);
    return [grey, grey, grey];
  });
};

const writeText = (
  page: Page,
  { width, height, coverage }: ReturnType<typeof drawCaption>,
  left: number,
  top: number,
) => {
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (left + x >= page.width || top + y >= page.height) continue;
      const grey = Math.round(GROUND + (INK - GROUND) * coverage[y * width + x]!);
      page.set(left + x, top + y, [grey, grey, grey]);
    }
};
