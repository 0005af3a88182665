import { STROKES } from './strokes.ts';

/** Height of the stroke grid from the top of the capitals to the foot of the descenders. */
const GRID_HEIGHT = 8;
const SPACE_WIDTH = 2.5;
const GAP = 1.6;
/** Drawn for characters the alphabet lacks: an empty box. */
const UNKNOWN = '0040460600';

type Segment = readonly [x1: number, y1: number, x2: number, y2: number];

/** Line segments of a text on the stroke grid, and its width there. Accents are dropped. */
const layOut = (text: string): { segments: Segment[]; width: number } => {
  const segments: Segment[] = [];
  let pen = 0;
  for (const character of text.normalize('NFD').replace(/\p{M}/gu, '')) {
    if (/\s/.test(character)) {
      pen += SPACE_WIDTH + GAP;
      continue;
    }
    const strokes = STROKES[character] ?? UNKNOWN;
    let width = 0;
    for (const stroke of strokes.split(' ')) {
      const at = (i: number) => Number(stroke[i]);
      for (let i = 0; i < stroke.length; i += 2) width = Math.max(width, at(i));
      for (let i = 0; i + 3 < stroke.length; i += 2)
        segments.push([pen + at(i), at(i + 1), pen + at(i + 2), at(i + 3)]);
    }
    pen += width + GAP;
  }
  return { segments, width: Math.max(0, pen - GAP) };
};

/** A grey picture of a text: coverage 0…1, row by row. */
export interface Caption {
  readonly width: number;
  readonly height: number;
  readonly coverage: Float32Array;
}

/**
 * Draws a text of one line with round, anti-aliased strokes.
 * @param size height of a capital letter in pixels.
 * @param widest the caption is shortened with an ellipsis to fit into this many pixels.
 */
export const drawCaption = (text: string, size: number, widest = Number.POSITIVE_INFINITY): Caption => {
  const scale = size / 6;
  const pad = Math.ceil(scale);
  const { segments, width: extent } = layOut(shortened(text, (widest - 2 * pad) / scale));
  const width = Math.ceil(extent * scale) + 2 * pad;
  const height = Math.ceil(GRID_HEIGHT * scale) + 2 * pad;
  const coverage = new Float32Array(width * height);
  const radius = Math.max(0.55, size / 16);
  for (const [x1, y1, x2, y2] of segments)
    drawSegment(coverage, width, height, radius, [
      x1 * scale + pad,
      y1 * scale + pad,
      x2 * scale + pad,
      y2 * scale + pad,
    ]);
  return { width, height, coverage };
};

const shortened = (text: string, room: number): string => {
  if (layOut(text).width <= room) return text;
  const letters = [...text];
  while (letters.length > 0 && layOut(`${letters.join('').trimEnd()}…`).width > room) letters.pop();
  return letters.length > 0 ? `${letters.join('').trimEnd()}…` : '';
};

/** Coverage by distance to the segment: full inside the radius, falling to nothing over one pixel. */
const drawSegment = (coverage: Float32Array, width: number, height: number, radius: number, segment: Segment): void => {
  const [x1, y1, x2, y2] = segment;
  const reach = radius + 1;
  const dx = x2 - x1;
  const dy = y2 - y1;
  const length = dx * dx + dy * dy;
  for (let y = Math.max(0, Math.floor(Math.min(y1, y2) - reach)); y < Math.min(height, Math.max(y1, y2) + reach); y++)
    for (
      let x = Math.max(0, Math.floor(Math.min(x1, x2) - reach));
      x < Math.min(width, Math.max(x1, x2) + reach);
      x++
    ) {
      const px = x + 0.5 - x1;
      const py = y + 0.5 - y1;
      const t = length === 0 ? 0 : Math.min(1, Math.max(0, (px * dx + py * dy) / length));
      const distance = Math.hypot(px - t * dx, py - t * dy);
      const cover = Math.min(1, Math.max(0, radius + 0.5 - distance));
      const at = y * width + x;
      if (cover > coverage[at]!) coverage[at] = cover;
    }
};
