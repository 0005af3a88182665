import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { renderForScreen } from '../../lib/web/screen.ts';
import { inLight, samplesLike, settledFor } from '../parity/settled-cases.ts';

const data = ['S', 'H', 'O'].map((_, i) => samplesLike(3600, i + 1));
const channels = ['S', 'H', 'O'].map((name, i) => ({
  name,
  source: planeSource(name, { width: 90, height: 40, data: data[i]! }),
}));
const curve = { curve: 'asinh', a: Math.fround(0.02) } as const;
const { signal } = new AbortController();

describe('a picture for the screen', () => {
  it.each(['srgb', 'display-p3'] as const)('shows in %s what the file of 8 bits holds', async (space) => {
    for (const settled of [settledFor(curve, { space }), inLight(curve, { space })]) {
      const shown = await renderForScreen({ channels }, settled, signal);
      const form = { width: 90, height: 40, sample: 'u8', bands: 4 } as const;
      const { writer, picture } = pictureInMemory(form);
      await renderPicture(channels, settled, form, writer);
      expect(shown).toMatchObject({ space, width: 90, height: 40 });
      expect([...shown.data]).toEqual([...picture.data]);
    }
  });

  it('shows linear light with the curve of sRGB', async () => {
    const linear = await renderForScreen({ channels }, inLight(curve, { space: 'srgb-linear' }), signal);
    const encoded = await renderForScreen({ channels }, inLight(curve), signal);
    expect(linear.space).toBe('srgb');
    const off = linear.data.map((v, i) => Math.abs(v - encoded.data[i]!));
    expect(Math.max(...off)).toBeLessThanOrEqual(1);
  });

  it('is transparent where a used line has no data', async () => {
    const shown = await renderForScreen({ channels }, settledFor(curve), signal);
    for (let i = 0; i < 3600; i++)
      expect(shown.data[4 * i + 3]).toBe(data.every((line) => Number.isFinite(line[i])) ? 255 : 0);
  });

  it('stops when the call is cancelled', async () => {
    const control = new AbortController();
    control.abort();
    await expect(renderForScreen({ channels }, settledFor(curve), control.signal)).rejects.toMatchObject({
      tag: 'cancelled',
    });
  });
});
