import type { HoursCurve } from '../../lib/web/hours-plan.ts';
import { text } from '../text-hours.ts';
import { apart, ticks } from './hours-axis.ts';
import { noiseAt } from './slow-hour.ts';

/** Everything that the picture of the curves shows. Noise is relative to the present: 1 is now. */
export interface HoursPlot {
  readonly curves: readonly HoursCurve[];
  readonly until: number;
  /** The plan: hours to come, and the noise after their best split. */
  readonly more: number;
  readonly then: number;
  /** Hours to come after which one more brings little. */
  readonly little?: number | undefined;
}

/** Room around the plot in CSS pixels: numbers at the left and below, names at the right. */
export const ROOM = { left: 34, right: 76, top: 8, bottom: 18 };
const LETTERS = 11;
const NAME_HEIGHT = 14;
/** Names tell the lines apart; dashes do where curves cross. */
const DASHES = [
  [6, 3],
  [2, 3],
  [9, 3, 2, 3],
  [4, 2],
  [1, 2],
  [12, 4],
  [7, 2, 2, 2, 2, 2],
  [3, 5],
];

interface Frame {
  readonly context: CanvasRenderingContext2D;
  readonly width: number;
  readonly height: number;
  x(hours: number): number;
  y(noise: number): number;
  colour(name: string): string;
}

/** Draws noise against added hours in the greys of the page: each line alone, the best split, the present, the plan. */
export const drawHours = (canvas: HTMLCanvasElement, plot: HoursPlot): void => {
  const frame = frameOf(canvas, plot);
  if (frame === undefined) return;
  const lowest = lowestOf(plot);
  drawGrid(frame, plot, lowest);
  for (const [i, curve] of plot.curves.entries()) drawCurve(frame, curve, i);
  drawNames(frame, plot);
  drawLittle(frame, plot);
  drawPlan(frame, plot);
};

const lowestOf = ({ curves }: HoursPlot): number =>
  Math.min(0.9, Math.floor(10 * Math.min(...curves.map(({ points }) => points.at(-1)!.noise))) / 10);

const frameOf = (canvas: HTMLCanvasElement, plot: HoursPlot): Frame | undefined => {
  const ratio = devicePixelRatio;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (width <= ROOM.left + ROOM.right || height === 0) return undefined;
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  const context = canvas.getContext('2d')!;
  context.scale(ratio, ratio);
  const style = getComputedStyle(canvas);
  context.font = `${LETTERS}px ${style.fontFamily}`;
  context.textBaseline = 'middle';
  const lowest = lowestOf(plot);
  return {
    context,
    width,
    height,
    x: (hours) => ROOM.left + (hours / plot.until) * (width - ROOM.left - ROOM.right),
    y: (noise) => ROOM.top + ((1 - noise) / (1 - lowest)) * (height - ROOM.top - ROOM.bottom),
    colour: (name) => style.getPropertyValue(name),
  };
};

const drawGrid = ({ context, width, height, x, y, colour }: Frame, { until }: HoursPlot, lowest: number) => {
  context.fillStyle = colour('--soft');
  context.strokeStyle = colour('--line');
  context.textAlign = 'right';
  const step = lowest < 0.6 ? 20 : 10;
  for (let percent = 100; percent >= 100 * lowest - 1e-9; percent -= step) {
    const at = Math.round(y(percent / 100)) + 0.5;
    context.beginPath();
    context.moveTo(ROOM.left, at);
    context.lineTo(width - ROOM.right, at);
    context.stroke();
    context.fillText(String(percent), ROOM.left - 8, at);
  }
  context.textAlign = 'center';
  for (const hours of ticks(until)) {
    const words = hours === 0 ? text.hours.now : `+${hours} h`;
    context.fillText(words, x(hours), height - LETTERS / 2 - 1);
  }
};

const drawCurve = ({ context, x, y, colour }: Frame, { line, points }: HoursCurve, index: number) => {
  context.strokeStyle = colour(line === undefined ? '--curve' : '--soft');
  context.lineWidth = line === undefined ? 2 : 1.25;
  context.setLineDash(line === undefined ? [] : DASHES[index % DASHES.length]!);
  context.beginPath();
  for (const { hours, noise } of points) context.lineTo(x(hours), y(noise));
  context.stroke();
  context.setLineDash([]);
};

/** The name of each curve at its end; names that would touch are moved apart. */
const drawNames = ({ context, width, height, y, colour }: Frame, { curves }: HoursPlot) => {
  const wanted = curves.map(({ points }) => y(points.at(-1)!.noise));
  const places = apart(wanted, NAME_HEIGHT, ROOM.top, height - ROOM.bottom);
  context.textAlign = 'left';
  for (const [i, { line }] of curves.entries()) {
    context.fillStyle = colour(line === undefined ? '--ink' : '--soft');
    context.fillText(line ?? text.hours.best, width - ROOM.right + 8, places[i]!);
  }
};

/** A bar across the best split where one more hour begins to bring little. */
const drawLittle = ({ context, x, y, colour }: Frame, { curves, little }: HoursPlot) => {
  const best = curves.find(({ line }) => line === undefined);
  if (little === undefined || best === undefined) return;
  context.strokeStyle = colour('--ink');
  context.lineWidth = 1.5;
  context.beginPath();
  context.moveTo(x(little), y(noiseAt(best.points, little)) - 7);
  context.lineTo(x(little), y(noiseAt(best.points, little)) + 7);
  context.stroke();
};

const drawPlan = ({ context, height, x, y, colour }: Frame, { more, then }: HoursPlot) => {
  context.strokeStyle = colour('--soft');
  context.beginPath();
  context.moveTo(x(more), y(then));
  context.lineTo(x(more), height - ROOM.bottom + 2);
  context.stroke();
  for (const [hours, noise] of [
    [0, 1],
    [more, then],
  ] as const) {
    context.fillStyle = colour('--ink');
    context.strokeStyle = colour('--ground');
    context.lineWidth = 2;
    context.beginPath();
    context.arc(x(hours), y(noise), 5, 0, 2 * Math.PI);
    context.fill();
    context.stroke();
  }
};
