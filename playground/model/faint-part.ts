import type { Box } from '../../lib/plane/box.ts';
import type { ScreenPicture } from '../../lib/web/screen.ts';
import type { Size } from './camera.ts';

/** Of all places, so many are fainter: nebula and sky rather than the blackest corner. */
const DARKER = 0.4;
/** Steps between places, as a share of their size. */
const STEP = 0.5;

/** A part of the given size about a point, moved inside the picture. */
export const partAbout = (x: number, y: number, { width, height }: Size, full: Size): Box => {
  const inside = (middle: number, size: number, whole: number) =>
    Math.max(0, Math.min(whole - size, Math.round(middle - size / 2)));
  const size = { width: Math.min(width, full.width), height: Math.min(height, full.height) };
  return { x: inside(x, size.width, full.width), y: inside(y, size.height, full.height), ...size };
};

/**
 * A faint part of a picture, in pixels of its full size: noise is seen there. Chosen on a smaller copy, among places
 * where every line has data; the middle of the picture where there is none.
 */
export const faintPart = (small: ScreenPicture, size: Size, full: Size): Box => {
  const scale = small.width / full.width;
  const [width, height] = [Math.max(1, Math.round(size.width * scale)), Math.max(1, Math.round(size.height * scale))];
  const found: { x: number; y: number; light: number }[] = [];
  for (let y = 0; y + height <= small.height; y += Math.max(1, Math.floor(height * STEP)))
    for (let x = 0; x + width <= small.width; x += Math.max(1, Math.floor(width * STEP))) {
      const light = lightIn(small, { x, y, width, height });
      if (light !== undefined) found.push({ x, y, light });
    }
  found.sort((a, b) => a.light - b.light);
  const place = found[Math.floor(DARKER * found.length)];
  if (place === undefined) return partAbout(full.width / 2, full.height / 2, size, full);
  return partAbout((place.x + width / 2) / scale, (place.y + height / 2) / scale, size, full);
};

/** Sum of all display values in a box; undefined where part of it has no data. */
const lightIn = ({ width, data }: ScreenPicture, box: Box): number | undefined => {
  let light = 0;
  for (let y = box.y; y < box.y + box.height; y++)
    for (let i = 4 * (y * width + box.x); i < 4 * (y * width + box.x + box.width); i += 4) {
      if (data[i + 3] !== 255) return undefined;
      light += data[i]! + data[i + 1]! + data[i + 2]!;
    }
  return light;
};
