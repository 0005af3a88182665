import { type Camera, type Point, type Size, toView } from './camera.ts';
import { crossPath, strokeOutlined } from './outline.ts';
import type { ShiftedLine } from './shifts.ts';

/** Strokes by which lines are told apart, in view pixels: no colour is needed. */
export const DASHES: readonly (readonly number[])[] = [[], [7, 4], [2, 4], [10, 4, 2, 4]];

const HEAD = 7;

const STROKE = { width: 1.6, rim: 4 };

const strokeArrow = (context: CanvasRenderingContext2D, from: Point, to: Point, dash: readonly number[]): void => {
  strokeOutlined(context, { ...STROKE, dash }, () => {
    context.moveTo(from.x, from.y);
    context.lineTo(to.x, to.y);
  });
  if (Math.hypot(to.x - from.x, to.y - from.y) < HEAD) return;
  const angle = Math.atan2(to.y - from.y, to.x - from.x);
  const wing = (turn: number) => [to.x - HEAD * Math.cos(angle + turn), to.y - HEAD * Math.sin(angle + turn)] as const;
  strokeOutlined(context, STROKE, () => {
    context.moveTo(...wing(0.5));
    context.lineTo(to.x, to.y);
    context.lineTo(...wing(-0.5));
  });
};

const nameAt = (context: CanvasRenderingContext2D, name: string, { x, y }: Point): void => {
  context.font = '600 12px system-ui, sans-serif';
  context.setLineDash([]);
  context.lineWidth = 3;
  context.strokeStyle = '#000';
  context.fillStyle = '#fff';
  context.strokeText(name, x + 6, y - 6);
  context.fillText(name, x + 6, y - 6);
};

/** Draws each line's shifts as arrows from where the reference has a place to where the line has it. */
export const drawShifts = (
  context: CanvasRenderingContext2D,
  ratio: number,
  { view, camera }: { readonly view: Size; readonly camera: Camera },
  lines: readonly (ShiftedLine & { readonly dash: readonly number[] })[],
  factor: number,
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.lineJoin = 'round';
  for (const { line, shifts, dash } of lines)
    for (const { x, y, dx, dy, used } of shifts) {
      const from = toView(camera, view, { x, y });
      if (!used) {
        // A place that the fit does not rest on.
        strokeOutlined(context, STROKE, () => crossPath(context, from, 4));
        continue;
      }
      const to = toView(camera, view, { x: x + dx * factor, y: y + dy * factor });
      strokeArrow(context, from, to, dash);
      // A name beside an arrow too short to be seen would stand for something that is not there.
      if (Math.hypot(to.x - from.x, to.y - from.y) > 2 * HEAD) nameAt(context, line, to);
    }
};
