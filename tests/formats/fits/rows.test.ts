import { describe, expect, it } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { tileRowReader } from '../../../lib/formats/fits/tile-rows.ts';
import type { TileShape } from '../../../lib/formats/fits/tile-shape.ts';
import { fitsLayout, fitsWriter } from '../../../lib/formats/fits/write.ts';
import { memorySink } from '../../../lib/plane/bytes.ts';
import type { PictureInfo } from '../../../lib/plane/picture.ts';
import { card, data, failure, image, source } from './build.ts';

/** Three rows of two samples, all bytes 1, 2, 3… */
const picture = (bitpix: number, ...cards: string[]) =>
  source(image(bitpix, [2, 3], ...cards), data(Array.from({ length: (6 * Math.abs(bitpix)) / 8 }, (_, i) => i + 1)));

describe('rows of an uncompressed picture', () => {
  it.each([8, 16, 32, 64, -32, -64])('BITPIX %d: nothing is written beyond the rows asked for', async (bitpix) => {
    for (const cards of [[], [card('BZERO', 1)], [card('BLANK', 1)], [card('ROWORDER', "'TOP-DOWN'")]]) {
      const plane = await openFits(picture(bitpix, ...cards));
      for (const into of [new Float32Array(7).fill(-7), new Float64Array(7).fill(-7)]) {
        await plane.readRows(1, 2, into);
        expect([...into.subarray(4)]).toEqual([-7, -7, -7]);
        expect(into.subarray(0, 4).includes(-7)).toBe(false);
      }
    }
  });

  // FITS standard 4.0, section 4.4.2.5: physical value = BZERO + BSCALE × stored value, for floats too.
  it.each([
    [-32, Float32Array],
    [-64, Float64Array],
  ] as const)('BITPIX %d: floats are scaled by BSCALE alone', async (bitpix, Samples) => {
    const view = new DataView(new ArrayBuffer(8));
    if (bitpix === -32) view.setFloat32(0, 1.5);
    else view.setFloat64(0, 1.5);
    const bytes = data(new Uint8Array(view.buffer));
    const plane = await openFits(source(image(bitpix, [1, 1], card('BSCALE', -4)), bytes));
    const into = new Samples(1);
    await plane.readRows(0, 1, into);
    expect(into[0]).toBe(-6);
  });
});

describe('what is read of a file', () => {
  it.each([1, 2])('is each tile once where rows are asked for in turn: %d tiles side by side', async (across) => {
    const decoded: [number, number][] = [];
    const read = tileRowReader({
      width: 4,
      height: 5,
      plane: 0,
      // Two rows a tile, so the last band holds a single one.
      shape: { tileWidth: 4 / across, tileHeight: 2, across, perPlane: 3 * across } as TileShape,
      decode: async (index, count, into) => {
        decoded.push([index, count]);
        into().fill(index, 0, count);
      },
      fitsFloat32: true,
      bottomUp: false,
    });
    const rows: number[][] = [];
    for (let y = 0; y < 5; y++) {
      const row = new Float32Array(4);
      await read(y, 1, row);
      rows.push([...row]);
    }
    const tiles = Array.from({ length: 3 * across }, (_, i) => i);
    expect(decoded).toEqual(tiles.map((i) => [i, (4 / across) * (i < 2 * across ? 2 : 1)]));
    const band = (i: number) => [i * across, i * across, (i + 1) * across - 1, (i + 1) * across - 1];
    expect(rows).toEqual([0, 0, 1, 1, 2].map(band));
  });

  it('is refused where a side is too long, or a plane is not there, which counts from 1', async () => {
    for (const axes of [
      [1_000_001, 1],
      [1, 1_000_001],
    ])
      expect((await failure(openFits(source(image(8, axes), new Uint8Array(1_002_240))))).message).toContain(
        'at most 1000000 a side',
      );
    const cube = source(image(8, [1, 1, 3]), data([1, 2, 3]));
    expect((await failure(openFits(cube, { plane: 3 }))).message).toContain('there is no plane 4');
  });
});

describe('fitsLayout', () => {
  it.each(['u8', 'u16', 'f32'] as const)('of %s adds up to the file that is written', async (sample) => {
    const info: PictureInfo = { width: 7, height: 5, bands: 3, sample, space: 'srgb', note: '' };
    const rows = { u8: Uint8Array, u16: Uint16Array, f32: Float32Array }[sample];
    const sink = memorySink();
    const writer = fitsWriter(sink, info);
    await writer.writeRows(new rows(7 * 5 * 3));
    await writer.finish();
    const { head, pixelOffset, pixelBytes, tail } = fitsLayout(info);
    expect(pixelOffset).toBe(head.length);
    expect(pixelBytes).toBe(7 * 5 * 3 * rows.BYTES_PER_ELEMENT);
    expect(pixelOffset + pixelBytes + tail.length).toBe(sink.bytes().length);
  });
});
