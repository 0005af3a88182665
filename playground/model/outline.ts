import type { Point } from './camera.ts';

/** Widths in view pixels. */
export interface Outline {
  readonly width: number;
  readonly rim: number;
  readonly dash?: readonly number[];
}

/** Strokes a path in white on a dark rim, so that it shows on any picture. The rim has no gaps. */
export const strokeOutlined = (
  context: CanvasRenderingContext2D,
  { width, rim, dash = [] }: Outline,
  path: () => void,
): void => {
  for (const [style, lineWidth, gaps] of [
    ['#000', rim, []],
    ['#fff', width, dash],
  ] as const) {
    context.strokeStyle = style;
    context.lineWidth = lineWidth;
    context.setLineDash([...gaps]);
    context.beginPath();
    path();
    context.stroke();
  }
};

/** The path of a cross whose arms reach so far right, left, up and down. */
export const crossPath = (context: CanvasRenderingContext2D, { x, y }: Point, arm: number): void => {
  context.moveTo(x - arm, y - arm);
  context.lineTo(x + arm, y + arm);
  context.moveTo(x + arm, y - arm);
  context.lineTo(x - arm, y + arm);
};
