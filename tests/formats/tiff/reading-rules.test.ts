import { deflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { openTiff, type TiffSelect } from '../../../lib/formats/tiff/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { buildTiff, greyTags, type Page, ramp, type Tag, words } from './build.ts';
import { readInWindows, readWhole } from './reading.ts';

const open = (bytes: Uint8Array, select?: TiffSelect) => openTiff(memorySource('t.tif', bytes), select);
const samples = ramp(5 * 3);
const page = (more: readonly Tag[] = [], chunks = [words(samples)]): Page => ({
  tags: greyTags(5, 3, 16, more),
  chunks,
});

describe('a plane read from TIFF', () => {
  it('describes itself', async () => {
    const plane = await open(buildTiff([page()]));
    expect(plane).toMatchObject({ file: 't.tif', width: 5, height: 3, type: 'u16', fullScale: 65535, warnings: [] });
    expect(plane.raw).toEqual({
      offset: 8,
      rowBytes: 10,
      type: 'u16',
      bigEndian: false,
      zero: 0,
      scale: 1,
      blank: undefined,
      bottomUp: false,
    });
  });

  it('carries the selector in its name', async () => {
    const bytes = buildTiff([page(), page()]);
    expect((await open(bytes, { page: 1, plane: 0 })).file).toBe('t.tif[1]#1');
  });

  it('turns the picture upright', async () => {
    const rows = [samples.slice(0, 5), samples.slice(5, 10), samples.slice(10)];
    const mirrored = rows.map((row) => [...row].reverse());
    const upright = { 2: mirrored, 3: [...mirrored].reverse(), 4: [...rows].reverse() };
    for (const [orientation, wanted] of Object.entries(upright)) {
      const tag: Tag = [274, 3, [Number(orientation)]];
      const packed = page([tag, [259, 3, [8]]], [new Uint8Array(deflateSync(words(samples)))]);
      for (const form of [page([tag]), packed]) {
        const plane = await open(buildTiff([form]));
        expect([...(await readWhole(plane))]).toEqual(wanted.flat());
        expect([...(await readInWindows(plane))]).toEqual(wanted.flat());
        expect(plane.warnings.join()).toMatch(/as its Orientation asks/);
      }
    }
    expect((await open(buildTiff([page([[274, 3, [4]]])]))).raw).toMatchObject({ bottomUp: true });
    expect((await open(buildTiff([page([[274, 3, [2]]])]))).raw).toBeUndefined();
    const odd = await open(buildTiff([page([[274, 3, [9]]])]));
    expect([...(await readWhole(odd))]).toEqual(samples);
    expect(odd.warnings.join()).toMatch(/Orientation 9 has no meaning/);
  });

  it('knows its no-data value', async () => {
    const read = async (marker: string) => {
      const plane = await open(buildTiff([page([[42113, 2, marker]])]));
      return { values: [...(await readWhole(plane))], warnings: plane.warnings.join(), blank: plane.raw?.blank };
    };
    const marked = await read(`${samples[4]}`);
    expect(marked.values).toEqual(samples.map((value, i) => (i === 4 ? Number.NaN : value)));
    expect(marked).toMatchObject({
      blank: samples[4],
      warnings: expect.stringMatching(/no-data value 1031 are undefined/),
    });
    expect(await read('nan')).toEqual({ values: samples, warnings: '', blank: undefined });
    expect((await read('none')).warnings).toMatch(/is not a number: none/);
    expect((await read('')).warnings).toMatch(/is not a number/);
    const floats = {
      tags: greyTags(2, 1, 32, [
        [339, 3, [3]],
        [42113, 2, '0'],
      ]),
      chunks: [new Uint8Array(8)],
    };
    expect((await open(buildTiff([floats]))).raw).toBeUndefined();
  });

  it('says what it assumed', async () => {
    const tags = greyTags(5, 3, 16).filter(([tag]) => tag !== 262);
    const plain = await open(buildTiff([{ tags: [...tags, [339, 3, [4]]], chunks: [words(samples)] }]));
    expect([...(await readWhole(plain))]).toEqual(samples);
    expect(plain.warnings.join()).toMatch(/black was assumed.*read as unsigned/);
    const pair = ramp(30);
    const grey: Page = {
      tags: greyTags(5, 3, 16, [
        [277, 3, [2]],
        [258, 3, [16, 16]],
        [338, 3, [2]],
      ]),
      chunks: [words(pair)],
    };
    const left = await open(buildTiff([grey]));
    expect([...(await readWhole(left))]).toEqual(pair.filter((_, i) => i % 2 === 0));
    expect(left.warnings).toEqual(['its second sample (alpha) was left aside; the grey sample was read']);
    expect([...(await readWhole(await open(buildTiff([grey]), { plane: 1 })))]).toEqual(pair.filter((_, i) => i % 2));
  });

  it('gives the same rows to overlapping calls, and refuses rows it does not have', async () => {
    const packed = new Uint8Array(deflateSync(words(samples)));
    const plane = await open(buildTiff([page([[259, 3, [8]]], [packed])]));
    const parts = [2, 0, 1].map((y) => ({ y, into: new Float32Array(5) }));
    await Promise.all(parts.map(({ y, into }) => plane.readRows(y, 1, into)));
    for (const { y, into } of parts) expect([...into]).toEqual(samples.slice(5 * y, 5 * y + 5));
    expect(() => plane.readRows(2, 2, new Float32Array(10))).toThrow(RangeError);
    expect(() => plane.readRows(0, 2, new Float32Array(9))).toThrow(RangeError);
  });

  it('reads whole tiles of one strip beyond the first megabyte of rows', async () => {
    const tall = ramp(700 * 900);
    const packed = new Uint8Array(deflateSync(words(tall)));
    const form = { tags: greyTags(700, 900, 16, [[259, 3, [8]]]), chunks: [packed] };
    const plane = await open(buildTiff([form]));
    expect([...(await readWhole(plane))]).toEqual(tall);
    const last = new Float32Array(700);
    await plane.readRows(899, 1, last);
    await plane.readRows(898, 1, last);
    expect([...last]).toEqual(tall.slice(898 * 700, 899 * 700));
  });
});

describe('header facts from TIFF', () => {
  it('gives every tag as a card and the camera, and guesses nothing', async () => {
    const plane = await open(
      buildTiff([
        page([
          [270, 2, 'FILTER = Ha'],
          [271, 2, 'Maker'],
          [272, 2, 'Model 7'],
          [282, 5, [72, 1]],
          [305, 2, 'writer'],
          [306, 2, '2025:01:02 03:04:05'],
          [65000, 7, [1, 2, 3, 4, 5, 6, 7, 8, 9]],
          [65001, 3, []],
        ]),
      ]),
    );
    const cards = Object.fromEntries(plane.facts.cards.map((card) => [card.keyword, card.value]));
    expect(cards).toMatchObject({
      ImageWidth: 5,
      ImageDescription: 'FILTER = Ha',
      XResolution: 72,
      Software: 'writer',
      DateTime: '2025:01:02 03:04:05',
    });
    expect(plane.facts.cards.find((card) => card.keyword === 'tag 65000')).toMatchObject({ comment: '9 values' });
    expect(plane.facts).toMatchObject({ camera: 'Maker Model 7', from: { camera: 'Model' } });
    expect(plane.facts.filter).toBeUndefined();
    expect(plane.facts.dateStart).toBeUndefined();
  });

  it('keeps a maker that the model repeats once, Latin-1 text, and tags that lie outside the file', async () => {
    const bytes = buildTiff([
      page([
        [271, 2, 'Maker'],
        [272, 2, 'Maker 7'],
        [315, 1, [1]],
        [316, 2, 'd\u00e9j\u00e0'],
      ]),
    ]);
    const facts = (await open(bytes)).facts;
    expect(facts.camera).toBe('Maker 7');
    const latin = buildTiff([page([[305, 7, [100, 233, 106, 224, 46, 0]]])]);
    const view = new DataView(latin.buffer);
    for (let at = 0; at < latin.length - 12; at++)
      if (view.getUint16(at, true) === 305 && view.getUint32(at + 4, true) === 6) view.setUint16(at + 2, 2, true);
    expect((await open(latin)).facts.cards.find((card) => card.keyword === 'Software')?.value).toBe('d\u00e9j\u00e0.');
    for (let at = 0; at < latin.length - 12; at++)
      if (view.getUint16(at, true) === 305 && view.getUint32(at + 4, true) === 6) view.setUint32(at + 4, 60_000, true);
    expect((await open(latin)).facts.cards.find((card) => card.keyword === 'Software')?.comment).toMatch(/outside/);
    const unknown = buildTiff([page([[65000, 2, 'somewhere else']])]);
    const words16 = new DataView(unknown.buffer);
    for (let at = 0; at < unknown.length - 12; at++)
      if (words16.getUint16(at, true) === 65000) words16.setUint32(at + 8, 0xfffffff0, true);
    expect((await open(unknown)).facts.cards.find((card) => card.keyword === 'tag 65000')?.comment).toMatch(/outside/);
  });

  it.each([false, true])('knows every type of number, big-endian %s', async (bigEndian) => {
    const bytes = buildTiff(
      [
        page(
          [
            [65001, 1, [200]],
            [65002, 3, [60_000]],
            [65003, 4, [4e9]],
            [65004, 5, [1, 4]],
            [65005, 6, [256 - 5]],
            [65006, 8, [65536 - 5]],
            [65007, 9, [2 ** 32 - 5]],
            [65008, 10, [2 ** 32 - 1, 4]],
            [65009, 11, [0.5]],
            [65010, 12, [0.1]],
            [65011, 13, [8]],
            [65012, 16, [2 ** 40]],
            [65013, 17, [2 ** 40]],
            [65014, 3, [1, 2, 3]],
          ],
          [words(samples, bigEndian)],
        ),
      ],
      { bigEndian, big: true },
    );
    const values = (await open(bytes)).facts.cards
      .filter((card) => card.keyword.startsWith('tag 65'))
      .map((card) => card.value);
    expect(values).toEqual([200, 60_000, 4e9, 0.25, -5, -5, -5, -0.25, 0.5, 0.1, 8, 2 ** 40, 2 ** 40, '1 2 3']);
  });
});
