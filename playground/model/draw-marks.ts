import { MARKS, type MarkedPicture, type MarkName } from '../../lib/work/marks.ts';
import type { Camera, Point, Size } from './camera.ts';
import { toView } from './camera.ts';

/** Side of a pattern's tile in CSS pixels. */
const TILE = 8;

/** Lines of each pattern, from and to, in a tile; they differ in direction, so that colour is not needed. */
const LINES: Readonly<Record<MarkName, readonly (readonly [number, number, number, number])[]>> = {
  outside: [
    [-2, 10, 10, -2],
    [-6, 6, 6, -6],
    [2, 14, 14, 2],
  ],
  full: [[0, 4, 8, 4]],
  black: [[4, 0, 4, 8]],
  undefined: [
    [0, 4, 8, 4],
    [4, 0, 4, 8],
  ],
};

/** A pattern of dark lines with light ones beside them, seen on every picture. */
export const patternOf = (name: MarkName, ratio: number): OffscreenCanvas => {
  const side = Math.round(TILE * ratio);
  const canvas = new OffscreenCanvas(side, side);
  const context = canvas.getContext('2d')!;
  context.scale(side / TILE, side / TILE);
  for (const [width, colour] of [
    [4, '#fff'],
    [2, '#000'],
  ] as const) {
    context.lineWidth = width;
    context.strokeStyle = colour;
    for (const [x, y, toX, toY] of LINES[name]) {
      context.beginPath();
      context.moveTo(x, y);
      context.lineTo(toX, toY);
      context.stroke();
    }
  }
  return canvas;
};

const made = new WeakMap<MarkedPicture, Partial<Record<MarkName, OffscreenCanvas>>>();

/** The pixels with one mark, opaque, all others clear. */
const maskOf = (marked: MarkedPicture, name: MarkName): OffscreenCanvas => {
  const before = made.get(marked) ?? {};
  made.set(marked, before);
  const known = before[name];
  if (known !== undefined) return known;
  const { width, height, marks } = marked;
  const data = new Uint8ClampedArray(4 * width * height);
  for (let i = 0; i < marks.length; i++) if (marks[i]! & MARKS[name]) data[4 * i + 3] = 255;
  const canvas = new OffscreenCanvas(width, height);
  canvas.getContext('2d')!.putImageData(new ImageData(data, width, height), 0, 0);
  before[name] = canvas;
  return canvas;
};

interface Where {
  readonly view: Size;
  readonly camera: Camera;
  /** The box of the masters that was marked. */
  readonly box: Point & Size;
}

/** Fills the marked pixels with the pattern of their mark, as the camera sees them. */
export const drawMarks = (
  context: CanvasRenderingContext2D,
  ratio: number,
  marked: MarkedPicture,
  names: readonly MarkName[],
  { view, camera, box }: Where,
): void => {
  const from = toView(camera, view, box);
  for (const name of names) {
    if (marked.share[name] === 0) continue;
    const layer = new OffscreenCanvas(context.canvas.width, context.canvas.height);
    const paint = layer.getContext('2d')!;
    paint.imageSmoothingEnabled = false;
    const size = [box.width * camera.scale * ratio, box.height * camera.scale * ratio] as const;
    paint.drawImage(maskOf(marked, name), from.x * ratio, from.y * ratio, ...size);
    paint.globalCompositeOperation = 'source-in';
    paint.fillStyle = paint.createPattern(patternOf(name, ratio), 'repeat')!;
    paint.fillRect(0, 0, layer.width, layer.height);
    context.drawImage(layer, 0, 0);
  }
};
