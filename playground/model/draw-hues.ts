import { oklabToRgb } from '../../lib/colour/oklab.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { Bend } from '../../lib/finish/finish.ts';

/** Lightness and chroma that stand for a hue; almost every hue has them in sRGB. */
const [LIGHT, CHROMA] = [0.72, 0.12];

/** A colour of OKLab for the canvas, cut where sRGB ends. */
export const labColour = (lightness: number, a: number, b: number): string => {
  const lab = Float64Array.of(lightness, a, b);
  oklabToRgb(lab, 0, SPACES.srgb, lab, 0);
  const [red, green, blue] = [...lab].map((v) => Math.round(255 * SPACES.srgb.encode(Math.min(1, Math.max(0, v)))));
  return `rgb(${red} ${green} ${blue})`;
};

const hueColour = (hue: number): string => {
  const angle = (hue * Math.PI) / 180;
  return labColour(LIGHT, CHROMA * Math.cos(angle), CHROMA * Math.sin(angle));
};

/** A thin strip of all hues at the foot. */
const FOOT = 8;

/**
 * Hues from 0 to 360°, each as high as the chroma that the picture has of it, over a strip of all hues; every bend as an
 * arc from where it takes to where it puts.
 */
export const drawHues = (canvas: HTMLCanvasElement, sums: Float64Array, bends: readonly Bend[]): void => {
  const ratio = devicePixelRatio;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  if (width === 0 || height === 0) return;
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  const context = canvas.getContext('2d')!;
  context.scale(ratio, ratio);
  const most = Math.max(1e-9, ...sums);
  const bar = width / sums.length;
  for (const [i, sum] of sums.entries()) {
    context.fillStyle = hueColour((360 * (i + 0.5)) / sums.length);
    const tall = (height - FOOT) * Math.sqrt(sum / most);
    context.fillRect(i * bar, height - FOOT - tall, bar + 0.5, tall);
    context.fillRect(i * bar, height - FOOT + 2, bar + 0.5, FOOT - 2);
  }
  const ink = getComputedStyle(canvas).getPropertyValue('--ink');
  context.strokeStyle = ink;
  context.fillStyle = ink;
  context.lineWidth = 1.5;
  for (const { at, to } of bends) drawBend(context, (at / 360) * width, (to / 360) * width, height - FOOT);
};

/** A thin line up from the hue, and over to a dot on a line where it comes out. */
const drawBend = (context: CanvasRenderingContext2D, from: number, to: number, foot: number): void => {
  const top = 8;
  context.globalAlpha = 0.5;
  context.beginPath();
  context.moveTo(from, foot);
  context.lineTo(from, top);
  context.lineTo(to, top);
  context.stroke();
  context.globalAlpha = 1;
  context.beginPath();
  context.moveTo(to, foot);
  context.lineTo(to, top);
  context.stroke();
  context.beginPath();
  context.arc(to, top, 4, 0, 2 * Math.PI);
  context.fill();
};
