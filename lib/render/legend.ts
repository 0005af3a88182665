import { SAMPLE_FULL } from '../colour/encode.ts';
import { type OutputRows, outputRows } from '../plane/picture.ts';
import type { BandRunner } from './bands.ts';
import { type Caption, drawCaption } from './caption/caption.ts';
import type { KernelForm } from './kernel.ts';
import { type Legend, legendHeight } from './legend-form.ts';

/** The strip: `legendHeight(width)` rows. */
export const drawLegend = (legend: Legend, width: number, form: KernelForm): OutputRows => {
  const { sample, bands } = form;
  const height = legendHeight(width);
  const whole = sample !== 'f32';
  const out = outputRows(sample, width * height * bands);
  const put = (x: number, y: number, colour: readonly number[]) => {
    const at = (y * width + x) * bands;
    for (let b = 0; b < 3; b++) out[at + b] = colour[b]!;
    if (bands === 4) out[at + 3] = SAMPLE_FULL[sample];
  };
  const { ground, ink } = legend;
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) put(x, y, [ground, ground, ground]);
  const side = Math.round(height * 0.5);
  const gap = Math.round(height * 0.3);
  const size = Math.max(8, Math.round(height * 0.3));
  const write = (caption: Caption, left: number) => {
    const top = Math.round((height - caption.height) / 2);
    for (let y = 0; y < caption.height; y++)
      for (let x = 0; x < caption.width; x++) {
        const shade = ground + (ink - ground) * caption.coverage[y * caption.width + x]!;
        const grey = whole ? Math.round(shade) : shade;
        if (left + x < width && top + y >= 0 && top + y < height) put(left + x, top + y, [grey, grey, grey]);
      }
  };
  let left = gap;
  for (const { colour, text } of legend.entries) {
    const caption = drawCaption(text, size);
    // What has no room is left out, and so is all behind it.
    if (left + side + gap / 2 + caption.width > width) break;
    const top = Math.round((height - side) / 2);
    for (let y = top; y < top + side; y++) for (let x = left; x < left + side; x++) put(x, y, colour);
    left += side + Math.round(gap / 2);
    write(caption, left);
    left += caption.width + gap;
  }
  const room = width - left - gap;
  if (room > 3 * size) {
    const title = drawCaption(legend.title, size, room);
    write(title, width - gap - title.width);
  }
  return out;
};

/** Bands of a picture and of the strip below it. */
export const withLegend = (picture: BandRunner, legend: Legend, width: number, form: KernelForm): BandRunner => {
  const strip = drawLegend(legend, width, form);
  const row = width * form.bands;
  return {
    async run(y, rows) {
      const above = Math.max(0, Math.min(rows, legend.from - y));
      if (above === rows) return picture.run(y, rows);
      const out = outputRows(form.sample, rows * row);
      if (above > 0) out.set(await picture.run(y, above));
      const first = y + above - legend.from;
      out.set(strip.subarray(first * row, (first + rows - above) * row), above * row);
      return out;
    },
    close: () => picture.close(),
  };
};
