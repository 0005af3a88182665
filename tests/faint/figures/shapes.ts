import { randomNumbers } from '../../parity/settled-cases.ts';
import { disc } from '../planes.ts';

/** Light by place, about 1 at its strongest, and how far from its middle it reaches. */
export interface Shape {
  readonly name: string;
  readonly reach: number;
  /** A shape about a place, turned by chance. */
  at(cx: number, cy: number, next: () => number): (x: number, y: number) => number;
}

/** A bent filament, twelve widths long. */
const filament = (width: number): Shape => ({
  name: `filament ${width}`,
  reach: 8 * width,
  at(cx, cy, next) {
    const turn = Math.PI * next();
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    const deviation = width / 2.355;
    return (x, y) => {
      const u = (x - cx) * cos + (y - cy) * sin;
      const v = (y - cy) * cos - (x - cx) * sin - 0.6 * width * Math.sin(u / (1.5 * width));
      return Math.exp(-(v * v) / (2 * deviation ** 2)) / (1 + Math.exp(((Math.abs(u) - 6 * width) / width) * 4));
    };
  },
});

const round = (width: number): Shape => ({
  name: `disc ${width}`,
  reach: 0.8 * width + 4,
  at: (cx, cy) => disc(cx, cy, width),
});

export const SHAPES = {
  disc16: round(16),
  disc32: round(32),
  disc64: round(64),
  filament4: filament(4),
  filament8: filament(8),
};

export interface Planted {
  readonly x: number;
  readonly y: number;
}

/** Middles of places where a shape stands alone, on a grid over a frame. */
export const placesFor = ({ reach }: Shape, width: number, height: number): Planted[] => {
  const pitch = Math.ceil(3 * reach) + 60;
  const places: Planted[] = [];
  for (let y = pitch; y + pitch / 2 < height; y += pitch)
    for (let x = pitch; x + pitch / 2 < width; x += pitch) places.push({ x, y });
  return places;
};

/** Adds a shape at all places, each turned by chance. */
export const plant = (
  data: Float32Array,
  width: number,
  shape: Shape,
  places: readonly Planted[],
  height: number,
  seed: number,
): Float32Array => {
  const next = randomNumbers(seed);
  const out = data.slice();
  for (const { x: cx, y: cy } of places) {
    const light = shape.at(cx, cy, next);
    const reach = Math.ceil(1.3 * shape.reach);
    for (let y = Math.max(0, cy - reach); y < Math.min(data.length / width, cy + reach); y++)
      for (let x = Math.max(0, cx - reach); x < Math.min(width, cx + reach); x++)
        out[y * width + x]! += height * light(x, y);
  }
  return out;
};
