import { describe, expect, it } from 'vitest';
import { type OutputRows, outputRows } from '../../lib/plane/picture.ts';
import type { BandRunner } from '../../lib/render/bands.ts';
import type { KernelForm } from '../../lib/render/kernel.ts';
import { drawLegend, withLegend } from '../../lib/render/legend.ts';
import { type Legend, legendHeight } from '../../lib/render/legend-form.ts';

const [WIDTH, HEIGHT] = [300, 40];
const legend: Legend = {
  from: HEIGHT,
  entries: [
    { colour: [200, 10, 20], text: 'H 4 h' },
    { colour: [5, 180, 250], text: 'O' },
  ],
  title: 'Ember  c39c-904d-5148',
  ground: 34,
  ink: 214,
};

/** A picture whose samples tell their places. */
const counted = ({ sample, bands }: KernelForm): BandRunner => ({
  async run(y, rows) {
    if (y + rows > HEIGHT) throw new RangeError('rows that the picture does not have');
    const out = outputRows(sample, rows * WIDTH * bands);
    for (let i = 0; i < out.length; i++) out[i] = (y * WIDTH * bands + i) % 251;
    return out;
  },
  close() {},
});

const whole = async (form: KernelForm, step: number): Promise<OutputRows> => {
  const runner = withLegend(counted(form), legend, WIDTH, form);
  const height = HEIGHT + legendHeight(WIDTH);
  const out = outputRows(form.sample, height * WIDTH * form.bands);
  for (let y = 0; y < height; y += step)
    out.set(await runner.run(y, Math.min(step, height - y)), y * WIDTH * form.bands);
  return out;
};

describe('a legend below a picture', () => {
  for (const form of [
    { sample: 'u8', bands: 3 },
    { sample: 'u16', bands: 4 },
    { sample: 'f32', bands: 3 },
  ] as const)
    it(`is the same in any bands, and leaves the picture as it is: ${form.sample} × ${form.bands}`, async () => {
      const all = await whole(form, 1000);
      for (const step of [1, 7, HEIGHT, HEIGHT + 3]) expect(await whole(form, step)).toEqual(all);
      const above = HEIGHT * WIDTH * form.bands;
      expect(all.subarray(0, above)).toEqual(await counted(form).run(0, HEIGHT));
      expect(all.subarray(above)).toEqual(drawLegend(legend, WIDTH, form));
    });

  it('shows each colour as a square, and letters between ground and ink', () => {
    const rows = drawLegend(legend, WIDTH, { sample: 'u8', bands: 3 });
    const count = (colour: readonly number[]) => {
      let found = 0;
      for (let i = 0; i < rows.length; i += 3) if (colour.every((value, b) => rows[i + b] === value)) found++;
      return found;
    };
    const side = Math.round(legendHeight(WIDTH) / 2);
    for (const { colour } of legend.entries) expect(count(colour)).toBe(side * side);
    expect(count([214, 214, 214])).toBeGreaterThan(40);
    const greys = rows.filter((value, i) => i % 3 === 0 && value === rows[i + 1] && value === rows[i + 2]);
    expect(Math.min(...greys)).toBe(34);
    expect(Math.max(...greys)).toBe(214);
  });

  it('leaves out what has no room', () => {
    const narrow = drawLegend(legend, 24, { sample: 'u8', bands: 3 });
    expect(narrow.length).toBe(24 * legendHeight(24) * 3);
    expect(Math.max(...narrow)).toBe(34);
  });
});
