import { colourOfScale } from '../../lib/faint/scale-colours.ts';
import { type Rings, rowWithin } from '../../lib/plane/outline.ts';
import type { FaintView } from '../../lib/web/faint.ts';
import { type Camera, type Point, type Size, toView } from './camera.ts';

type Features = FaintView['features'];

/** Widths in view pixels: of the dark rim of an outline, and of its colour, chosen or not. */
const [RIM, WIDTH, CHOSEN] = [2, 1.5, 3];
/** Numbers stand so many view pixels above the first corner, and only so many of them. */
const [ABOVE, NUMBERED] = [4, 20];

/** The colour of a scale as CSS has it. */
export const cssOfScale = (scale: number): string => `rgb(${colourOfScale(scale).join(' ')})`;

/** Outlines in the colour of their scale, each with its number. */
export const drawFaint = (
  context: CanvasRenderingContext2D,
  ratio: number,
  { view, camera }: { readonly view: Size; readonly camera: Camera },
  features: Features,
  chosen: number | undefined,
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  for (const [i, { outline, scale }] of features.entries()) {
    const width = i === chosen ? CHOSEN : WIDTH;
    const path = pathOf(outline, view, camera);
    for (const [style, lineWidth] of [
      ['#000', width + RIM],
      [cssOfScale(scale), width],
    ] as const) {
      context.strokeStyle = style;
      context.lineWidth = lineWidth;
      context.stroke(path);
    }
  }
  context.font = '600 12px system-ui, sans-serif';
  context.lineJoin = 'round';
  context.strokeStyle = '#000';
  context.lineWidth = 3;
  for (const [i, { box, scale }] of features.slice(0, NUMBERED).entries()) {
    const { x, y } = toView(camera, view, box);
    context.strokeText(String(i + 1), x, y - ABOVE);
    context.fillStyle = cssOfScale(scale);
    context.fillText(String(i + 1), x, y - ABOVE);
  }
};

const pathOf = (outline: Rings, view: Size, camera: Camera): Path2D => {
  const path = new Path2D();
  for (const ring of outline) {
    for (let i = 0; i + 1 < ring.length; i += 2) {
      const { x, y } = toView(camera, view, { x: ring[i]!, y: ring[i + 1]! });
      if (i === 0) path.moveTo(x, y);
      else path.lineTo(x, y);
    }
    path.closePath();
  }
  return path;
};

/** The smallest feature whose outline holds a point of the picture; undefined where none does. */
export const featureAt = (features: Features, { x, y }: Point): number | undefined => {
  const holds = ({ outline, box }: Features[number]) =>
    x >= box.x && y >= box.y && x < box.x + box.width && y < box.y + box.height
      ? rowWithin(outline, Math.floor(y)).filter((from) => from <= Math.floor(x)).length % 2 === 1
      : false;
  const found = [...features.keys()].filter((i) => holds(features[i]!));
  return found.sort((a, b) => features[a]!.pixels - features[b]!.pixels)[0];
};
