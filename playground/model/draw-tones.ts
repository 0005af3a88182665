import type { Tone } from './tones.ts';

/** Width of what stands for pixels that have none or all of a colour, in CSS pixels. */
const END = 3;

/**
 * Draws the tones of one colour from none on the left to full on the right; both ends as bars, for whatever is cut off
 * gathers there.
 * @param most the count that is as high as the canvas, the same for all that are compared; heights go with square roots
 */
export const drawTone = (canvas: HTMLCanvasElement, { counts }: Tone, most: number): void => {
  const ratio = devicePixelRatio;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  if (width === 0 || height === 0) return;
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  const context = canvas.getContext('2d')!;
  context.scale(ratio, ratio);
  const colours = getComputedStyle(canvas);
  const heightOf = (count: number) => Math.sqrt(count / Math.max(1, most)) * height;
  const last = counts.length - 1;
  const room = width - 2 * END;
  context.fillStyle = colours.getPropertyValue('--faint');
  context.beginPath();
  context.moveTo(END, height);
  for (let code = 1; code < last; code++) {
    const y = height - heightOf(counts[code]!);
    context.lineTo(END + ((code - 1) / (last - 1)) * room, y);
    context.lineTo(END + (code / (last - 1)) * room, y);
  }
  context.lineTo(width - END, height);
  context.fill();
  context.fillStyle = colours.getPropertyValue('--ink');
  for (const [x, count] of [
    [0, counts[0]!],
    [width - END, counts[last]!],
  ] as const)
    context.fillRect(x, height - heightOf(count), END, heightOf(count));
};
