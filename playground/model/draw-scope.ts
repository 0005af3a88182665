import { rgbToOklab } from '../../lib/colour/oklab.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { ofStrengths } from '../../lib/recipe/settle/of-strengths.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';
import type { ColourCloud } from './colour-cloud.ts';
import { labColour } from './draw-hues.ts';

/** Bins along each axis, and how far OKLab a and b reach. */
const SIZE = 128;
const REACH = 0.36;
/** Each bin is shown at this lightness. */
const LIGHT = 0.72;
/** The count that is shown in full is exceeded by this share of the bins that hold anything. */
const FULL = 0.995;

const placeOf = (value: number): number => ((value + REACH) / (2 * REACH)) * SIZE;

/** How often each a and b occurs: rows from blue below to yellow above, columns from green to red. */
export const scopeCounts = (cloud: ColourCloud): Uint32Array => {
  const counts = new Uint32Array(SIZE * SIZE);
  for (let i = 0; i < cloud.length; i += 3) {
    const x = Math.floor(placeOf(cloud[i + 1]!));
    const y = SIZE - 1 - Math.floor(placeOf(cloud[i + 2]!));
    if (x >= 0 && x < SIZE && y >= 0 && y < SIZE) counts[y * SIZE + x]!++;
  }
  return counts;
};

/** Red, yellow, green, cyan, blue, magenta: the edge of a space, as far as hue and chroma go. */
const CORNERS = [
  [1, 0, 0],
  [1, 1, 0],
  [0, 1, 0],
  [0, 1, 1],
  [0, 0, 1],
  [1, 0, 1],
] as const;
const EDGE_STEPS = 8;

const labOf = (rgb: readonly number[], space: keyof typeof SPACES): readonly [number, number] => {
  const lab = Float64Array.from(rgb);
  rgbToOklab(lab, 0, SPACES[space], lab, 0);
  return [lab[1]!, lab[2]!];
};

/** a and b along the six edges of the cube that go from a primary to its neighbours. */
export const edgeOf = (space: keyof typeof SPACES): (readonly [number, number])[] =>
  CORNERS.flatMap((from, i) => {
    const to = CORNERS[(i + 1) % CORNERS.length]!;
    return Array.from({ length: EDGE_STEPS }, (_, k) =>
      labOf(
        from.map((v, b) => v + ((to[b]! - v) * k) / EDGE_STEPS),
        space,
      ),
    );
  });

/** A line's strengths from the level of the sky to full, the others at the level of the sky. */
const RISE = Array.from({ length: 12 }, (_, i) => 0.12 + (0.88 * i) / 11);

/** a and b of each line's colour as that line alone rises, by name. */
export const spokesOf = (settled: Settled): Record<string, (readonly [number, number])[]> => {
  const { channels } = settled;
  const space = settled.space === 'srgb-linear' ? 'srgb' : settled.space;
  const kernel = jsKernel({ ...ofStrengths(settled), space }, { sample: 'f32', bands: 3 });
  return Object.fromEntries(
    channels.map(({ name }, line) => {
      const inputs = channels.map((_, c) => Float32Array.from(RISE, (v) => (c === line ? v : RISE[0]!)));
      const out = new Float32Array(3 * RISE.length);
      kernel(inputs, RISE.length, out);
      const { decode } = SPACES[space].display;
      return [
        name,
        RISE.map((_, i) =>
          labOf(
            [0, 1, 2].map((b) => decode(out[3 * i + b]!)),
            space,
          ),
        ),
      ];
    }),
  );
};

/** Draws the density of a picture's colours over a and b, the edge of the space, and a spoke for each line. */
export const drawScope = (canvas: HTMLCanvasElement, cloud: ColourCloud, settled: Settled): void => {
  const side = Math.round(canvas.clientWidth * devicePixelRatio);
  if (side === 0) return;
  canvas.width = side;
  canvas.height = side;
  const context = canvas.getContext('2d')!;
  drawDensity(context, scopeCounts(cloud), side);
  const style = getComputedStyle(canvas);
  const place = ([a, b]: readonly [number, number]) =>
    [(placeOf(a) / SIZE) * side, side - (placeOf(b) / SIZE) * side] as const;
  const trace = (points: readonly (readonly [number, number])[], close: boolean) => {
    context.beginPath();
    for (const point of points) context.lineTo(...place(point));
    if (close) context.closePath();
    context.stroke();
  };
  context.lineWidth = devicePixelRatio;
  context.strokeStyle = style.getPropertyValue('--soft');
  trace(edgeOf(settled.space === 'srgb-linear' ? 'srgb' : settled.space), true);
  context.strokeStyle = style.getPropertyValue('--ink');
  context.fillStyle = style.getPropertyValue('--ink');
  context.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  for (const [name, points] of Object.entries(spokesOf(settled))) {
    trace(points, false);
    const [x, y] = place(points.at(-1)!);
    const [dx, dy] = [x - side / 2, y - side / 2];
    const far = 10 * devicePixelRatio;
    const size = Math.hypot(dx, dy) || 1;
    context.fillText(name, x + (far * dx) / size, y + (far * dy) / size);
  }
};

const drawDensity = (context: CanvasRenderingContext2D, counts: Uint32Array, side: number): void => {
  const some = counts.filter((n) => n > 0).sort();
  const full = Math.log1p(some[Math.floor(FULL * (some.length - 1))] ?? 1);
  const bin = side / SIZE;
  for (const [i, count] of counts.entries()) {
    if (count === 0) continue;
    const [x, y] = [i % SIZE, Math.floor(i / SIZE)];
    context.globalAlpha = Math.min(1, Math.log1p(count) / full) ** 0.8;
    const a = ((x + 0.5) / SIZE) * 2 * REACH - REACH;
    const b = REACH - ((y + 0.5) / SIZE) * 2 * REACH;
    context.fillStyle = labColour(LIGHT, a, b);
    context.fillRect(x * bin, y * bin, bin + 0.5, bin + 0.5);
  }
  context.globalAlpha = 1;
};
