import type { SettledChannel } from '../../lib/recipe/settle/settled.ts';
import type { CurveKind } from '../../lib/stretch/curve.ts';
import { CURVES } from '../../lib/stretch/curves.ts';
import { axisOf, type Histogram, valueAt } from '../../lib/web/histogram.ts';
import { text } from '../text.ts';

/** Room below the plot for the axis, in CSS pixels. */
const AXIS = 16;

/** Draws a histogram with its curve in the colours of the page, sharp on any screen. */
export const drawHistogram = (
  canvas: HTMLCanvasElement,
  histogram: Histogram,
  settled: SettledChannel | undefined,
): void => {
  const ratio = devicePixelRatio;
  const width = canvas.clientWidth;
  const height = canvas.clientHeight;
  if (width === 0 || height === 0) return;
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  const context = canvas.getContext('2d')!;
  context.scale(ratio, ratio);
  const colours = getComputedStyle(canvas);
  const colour = (name: string) => colours.getPropertyValue(name);
  const floor = height - AXIS;
  const place = (u: number) => ((u - histogram.low) / (histogram.high - histogram.low)) * width;
  drawAxis(context, histogram, { width, floor, place, line: colour('--line'), ink: colour('--soft') });
  drawCounts(context, histogram, width, floor, colour('--plot'));
  if (settled !== undefined) drawCurve(context, histogram, settled, width, floor, colour('--curve'));
};

const drawCounts = (
  context: CanvasRenderingContext2D,
  { counts }: Histogram,
  width: number,
  floor: number,
  fill: string,
) => {
  const most = Math.log1p(Math.max(...counts, 1));
  context.fillStyle = fill;
  context.beginPath();
  context.moveTo(0, floor);
  for (const [bin, count] of counts.entries()) {
    const y = floor - (Math.log1p(count) / most) * (floor - 4);
    context.lineTo((bin / counts.length) * width, y);
    context.lineTo(((bin + 1) / counts.length) * width, y);
  }
  context.lineTo(width, floor);
  context.fill();
};

/** Black to white on the way from the bottom to the top of the plot. */
const drawCurve = (
  context: CanvasRenderingContext2D,
  histogram: Histogram,
  { background, black, white, stretch }: SettledChannel,
  width: number,
  floor: number,
  stroke: string,
) => {
  const curve = (CURVES[stretch.curve] as CurveKind).curve(stretch);
  context.strokeStyle = stroke;
  context.lineWidth = 1.5;
  context.beginPath();
  for (let x = 0; x <= width; x++) {
    const value = valueAt(histogram, histogram.low + (x / width) * (histogram.high - histogram.low));
    const z = Math.min(1, Math.max(0, (value - background - black) / (white - black)));
    const y = floor - curve(z) * (floor - 4);
    if (x === 0) context.moveTo(x, y);
    else context.lineTo(x, y);
  }
  context.stroke();
};

interface Axis {
  readonly width: number;
  readonly floor: number;
  place(u: number): number;
  readonly line: string;
  readonly ink: string;
}

/** Ticks at the sky and at whole powers of ten of the noise above it. */
const drawAxis = (context: CanvasRenderingContext2D, histogram: Histogram, axis: Axis) => {
  context.fillStyle = axis.ink;
  context.strokeStyle = axis.line;
  context.font = `11px ${getComputedStyle(context.canvas).fontFamily}`;
  context.textBaseline = 'bottom';
  const unit = axis.width - context.measureText(text.histogram.unit).width;
  context.fillText(text.histogram.unit, unit, axis.floor + AXIS);
  let free = 0;
  for (const tick of [0, 10, 100, 1000, 10_000, 100_000]) {
    const u = axisOf(histogram, histogram.level + tick * histogram.unit);
    if (u >= histogram.high) return;
    const x = axis.place(u);
    context.beginPath();
    context.moveTo(x, 0);
    context.lineTo(x, axis.floor + 3);
    context.stroke();
    const label = tick === 0 ? text.histogram.sky : String(tick);
    const half = context.measureText(label).width / 2;
    if (x - half < free || x + half + 6 > unit) continue;
    context.fillText(label, x - half, axis.floor + AXIS);
    free = x + half + 6;
  }
};
