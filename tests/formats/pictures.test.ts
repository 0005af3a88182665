import { describe, expect, it } from 'vitest';
import { openPlane } from '../../lib/formats/open.ts';
import { formatOf, PICTURE_FORMATS } from '../../lib/formats/pictures.ts';
import { memorySink, memorySource } from '../../lib/plane/bytes.ts';
import { contentsOf } from './jpeg/segments.ts';

describe('the format of a written picture', () => {
  it.each([
    ['a.tif', 'TIFF'],
    ['b/a.x.TIFF', 'TIFF'],
    ['a.png', 'PNG'],
    ['a.Fits', 'FITS'],
    ['a.fit', 'FITS'],
    ['a.fts', 'FITS'],
    ['a.jpg', 'JPEG'],
    ['a.JPEG', 'JPEG'],
    ['a.jpe', undefined],
    ['tif', undefined],
    ['a.tif.gz', undefined],
    ['a.png/b', undefined],
    ['a.png\\b', undefined],
    ['a.', undefined],
    ['', undefined],
  ])('follows from the ending of %j', (file, name) => {
    expect(formatOf(file)?.name).toBe(name);
  });

  it('has 16 bits unless asked otherwise, JPEG 8, FITS floats', () => {
    expect(PICTURE_FORMATS.map(({ name, samples }) => [name, samples[0]])).toEqual([
      ['TIFF', 'u16'],
      ['PNG', 'u16'],
      ['JPEG', 'u8'],
      ['FITS', 'f32'],
    ]);
  });

  it.each(PICTURE_FORMATS.flatMap((format) => format.samples.map((sample) => [format.name, sample, format] as const)))(
    '%s holds %s',
    async (name, sample, format) => {
      const sink = memorySink();
      const writer = await format.writer(sink, { width: 1, height: 1, bands: 3, sample, space: 'srgb', note: '' });
      const rows = { u8: Uint8Array, u16: Uint16Array, f32: Float32Array }[sample];
      await writer.writeRows(rows.of(1, 2, 3));
      await writer.finish();
      const bytes = sink.bytes();
      // PNG (third edition) 11.2.1: the bit depth is the ninth byte of the first chunk's data.
      if (name === 'PNG') expect(bytes[24]).toBe(8 * rows.BYTES_PER_ELEMENT);
      else if (name === 'JPEG') expect(contentsOf(bytes, 0xc0)[0]![0]).toBe(8);
      else expect((await openPlane(memorySource('t', bytes), { plane: 1 })).type).toBe(sample);
    },
  );
});
