import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { Plane } from '../../lib/plane/plane.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { renderPreview } from '../../lib/render/preview.ts';
import { shrink, shrinkTo } from '../../lib/render/shrink.ts';
import { inLight, samplesLike, settledFor } from '../parity/settled-cases.ts';

const planes = new Map<string, Plane>(
  ['S', 'H', 'O'].map((name, i) => [name, { width: 90, height: 40, data: samplesLike(3600, i + 1) }]),
);
const curve = { curve: 'asinh', a: Math.fround(0.02) } as const;

describe('a preview', () => {
  it.each(['srgb', 'display-p3'] as const)('shows in %s what the picture holds', async (space) => {
    for (const settled of [settledFor(curve, { space }), inLight(curve, { space })]) {
      const preview = renderPreview(planes, settled);
      const form = { width: 90, height: 40, sample: 'u8', bands: 4 } as const;
      const { writer, picture } = pictureInMemory(form);
      const channels = [...planes].map(([name, plane]) => ({ name, source: planeSource(name, plane) }));
      await renderPicture(channels, settled, form, writer);
      expect(preview.space).toBe(space);
      expect([...preview.data]).toEqual([...picture.data]);
    }
  });

  it('shows linear light with the curve of sRGB', () => {
    const linear = renderPreview(planes, inLight(curve, { space: 'srgb-linear' })).data;
    const encoded = renderPreview(planes, inLight(curve)).data;
    const off = linear.map((v, i) => Math.abs(v - encoded[i]!));
    expect(Math.max(...off)).toBeLessThanOrEqual(1);
  });

  it('is transparent where a used line has no data', () => {
    const { data } = renderPreview(planes, settledFor(curve));
    const defined = (i: number) => ['S', 'H', 'O'].every((name) => Number.isFinite(planes.get(name)!.data[i]));
    for (let i = 0; i < 3600; i++) expect(data[4 * i + 3]).toBe(defined(i) ? 255 : 0);
  });

  it('refuses planes that do not fit', () => {
    expect(() => renderPreview(new Map(), settledFor(curve))).toThrow(RangeError);
    const odd = new Map(planes).set('O', { width: 1, height: 1, data: new Float32Array(1) });
    expect(() => renderPreview(odd, settledFor(curve))).toThrow(RangeError);
  });
});

describe('a pyramid', () => {
  it('holds the means of what is defined', async () => {
    const data = Float32Array.of(1, 3, Number.NaN, 5, 5, 7, Number.NaN, Number.NaN);
    const source = planeSource('s', { width: 4, height: 2, data });
    const [whole, half, one] = await shrinkTo(source, [4, 2, 1]);
    expect([...whole!.data]).toEqual([...data]);
    expect([...half!.data]).toEqual([4, 5]);
    expect(one!.data[0]).toBeCloseTo(21 / 5, 6);
    expect(await shrink(source, 2)).toEqual(half);
  });
});
