import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { headerBytes } from '../../../lib/formats/fits/header-text.ts';
import { readFitsNote } from '../../../lib/formats/fits/note.ts';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { fitsWriter, type MonoInfo, writeMono } from '../../../lib/formats/fits/write.ts';
import { memorySink, memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import type { OutputRows, PictureInfo, PictureWriter } from '../../../lib/plane/picture.ts';
import { seededRandom } from '../../fuzz/mutate.ts';
import { hasModules, PYTHON } from '../../tools/python.ts';
import { failure } from './build.ts';
import { readAll } from './expected.ts';

const NOTE = JSON.stringify({ recipe: 'x'.repeat(5000), by: "Barnard's & more", name: '\\u03b1' });
/** astropy loses blanks at the end of a card's piece and stops at a quote before a blank, so it is not asked about these. */
const BLANKS = JSON.stringify({ note: "x' y' 'z'".repeat(50), blanks: ' '.repeat(300) });
const INFO: PictureInfo = { width: 7, height: 5, bands: 3, sample: 'f32', space: 'srgb', note: NOTE };

const rowsOf = (info: PictureInfo): OutputRows => {
  const random = seededRandom(3);
  const length = info.width * info.height * info.bands;
  if (info.sample === 'u8') return Uint8Array.from({ length }, () => random() * 256);
  return info.sample === 'u16'
    ? Uint16Array.from({ length }, () => random() * 65536)
    : Float32Array.from({ length }, random);
};

/** Writes in strips of the given heights, the rest at once. */
const writeStrips = async (writer: PictureWriter, rows: OutputRows, rowLength: number, heights: readonly number[]) => {
  let at = 0;
  for (const height of heights) {
    await writer.writeRows(rows.subarray(at, at + height * rowLength));
    at += height * rowLength;
  }
  await writer.writeRows(rows.subarray(at));
  await writer.finish();
};

const writePicture = async (info: PictureInfo, heights: readonly number[] = []): Promise<Uint8Array> => {
  const sink = memorySink();
  await writeStrips(fitsWriter(sink, info), rowsOf(info), info.width * info.bands, heights);
  return sink.bytes();
};

const writeMaster = async (info: MonoInfo, rows: OutputRows): Promise<Uint8Array> => {
  const sink = memorySink();
  await writeStrips(writeMono(sink, info), rows, info.width, [1]);
  return sink.bytes();
};

const variants: PictureInfo[] = (['f32', 'u16', 'u8'] as const).flatMap((sample) =>
  ([3, 4] as const).map(
    (bands) => ({ ...INFO, sample, bands, space: bands === 3 ? 'display-p3' : 'srgb-linear' }) as const,
  ),
);

describe('fitsWriter', () => {
  it.each(variants)('$sample with $bands planes reads back top first', async (info) => {
    const bytes = await writePicture(info, [2, 1]);
    expect(bytes.length % 2880).toBe(0);
    const rows = rowsOf(info);
    for (let plane = 0; plane < info.bands; plane++) {
      const opened = await openFits(memorySource('out.fits', bytes), { plane });
      expect([opened.width, opened.height, opened.type, opened.warnings]).toEqual([7, 5, info.sample, []]);
      expect(await readAll(opened)).toEqual(Float64Array.from({ length: 35 }, (_, i) => rows[i * info.bands + plane]!));
    }
  });

  it('writes the same bytes however the strips are cut', async () => {
    expect(await writePicture(INFO, [1, 1, 1])).toEqual(await writePicture(INFO));
  });

  it.each([
    '',
    '{}',
    "'",
    "''",
    '&',
    'a&',
    "x'".repeat(500),
    ' lead',
    'trail ',
    ' '.repeat(200),
    'a'.repeat(67),
    'a'.repeat(68),
    'a'.repeat(69),
    NOTE,
    BLANKS,
    JSON.stringify({ big: '"\\'.repeat(100_000) }),
  ])('recovers note %#', async (note) => {
    expect((await readFitsNote(memorySource('out.fits', await writePicture({ ...INFO, note })))) ?? '').toBe(note);
  });

  it('finds no note in other files', async () => {
    const bytes = await writeMaster({ width: 1, height: 2, type: 'f32', cards: [] }, new Float32Array(2));
    expect(await readFitsNote(memorySource('a.fits', bytes))).toBeUndefined();
    expect((await failure(readFitsNote(memorySource('a.html', new Uint8Array(9))))).tag).toBe('format');
  });

  it('refuses rows that do not fit, and too few', async () => {
    const writer = fitsWriter(memorySink(), INFO);
    await expect(writer.writeRows(new Float32Array(20))).rejects.toThrow(RangeError);
    await expect(writer.writeRows(new Float32Array(6 * 21))).rejects.toThrow(RangeError);
    expect((await failure(writer.finish())).message).toBe('only 0 of 5 rows were written');
  });

  it('needs no padding where planes fill whole blocks', async () => {
    const info: PictureInfo = { ...INFO, width: 60, height: 16, note: '' };
    expect((await writePicture(info)).length).toBe(2880 + 4 * 2880);
  });
});

describe('headerBytes', () => {
  const text = (...cards: Parameters<typeof headerBytes>[0]) => new TextDecoder().decode(headerBytes(cards));

  it('writes every kind of value', () => {
    expect(text({ keyword: 'HISTORY', value: 'told' }, { keyword: 'COMMENT', value: undefined }).slice(0, 160)).toBe(
      'HISTORY told'.padEnd(80) + 'COMMENT'.padEnd(80),
    );
    const lines = text(
      { keyword: 'A', value: true, comment: 'yes' },
      { keyword: 'B', value: false },
      { keyword: 'C', value: 1e-17 },
      { keyword: 'D', value: undefined, comment: 'none' },
      { keyword: 'E', value: 'x', comment: 'why' },
      { keyword: '', value: undefined, comment: 'c'.repeat(80) },
    );
    expect(lines.length).toBe(2880);
    expect(lines.slice(0, 80).trimEnd()).toBe('A       =                    T / yes');
    expect(lines.slice(160, 240).trimEnd()).toBe('C       =                1E-17');
    expect(lines.slice(240, 320).trimEnd()).toBe('D       =                      / none');
    expect(lines.slice(320, 400).trimEnd()).toBe("E       = 'x       '           / why");
    expect(lines.slice(480, 560).trimEnd()).toBe(`        ${'c'.repeat(8)}`);
  });

  it.each([
    { keyword: 'lower', value: 1 },
    { keyword: 'TOOLONGKEY', value: 1 },
    { keyword: 'A', value: 'α' },
    { keyword: 'A', value: 'a\nb' },
    { keyword: 'A', value: Number.NaN },
    { keyword: 'A', value: 1, comment: 'µ' },
  ])('refuses %j', (card) => {
    expect(() => headerBytes([card])).toThrow(LinewashError);
  });
});

const hasJudges = spawnSync('fitsverify', ['-h']).error === undefined && hasModules('astropy');

describe.skipIf(!hasJudges)('written files before other readers', () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-fits-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const judge = (bytes: Uint8Array, expression: string): unknown => {
    const path = join(folder, 'out.fits');
    writeFileSync(path, bytes);
    expect(spawnSync('fitsverify', ['-q', path], { encoding: 'utf8' }).stdout).toMatch(/^verification OK/);
    const program = `import json, sys\nfrom astropy.io import fits\nhdus = fits.open(sys.argv[1])\ndata, header = hdus[0].data, hdus[0].header\nprint(json.dumps(${expression}))`;
    return JSON.parse(execFileSync(PYTHON, ['-W', 'ignore', '-c', program, path], { encoding: 'utf8' }));
  };

  it.each(variants)(
    '$sample with $bands planes: fitsverify finds nothing, astropy reads the pixels and the note',
    async (info) => {
      const found = judge(await writePicture(info), '[data[:, ::-1].tolist(), header["LINEWASH"]]') as [
        number[][][],
        string,
      ];
      const rows = rowsOf(info);
      expect(found[0].length).toBe(info.bands);
      for (const [p, plane] of found[0].entries())
        expect(plane.flat()).toEqual(Array.from({ length: 35 }, (_, i) => rows[i * info.bands + p]));
      expect(found[1]).toBe(NOTE);
    },
  );

  it.each(['u16', 'f32'] as const)('a mono master of %s', async (type) => {
    const values =
      type === 'u16'
        ? Uint16Array.of(0, 1, 65535, 32768, 7, 8)
        : Float32Array.of(0, -1, 1e-17, Number.NaN, Number.POSITIVE_INFINITY, 5);
    const cards = [
      { keyword: 'FILTER', value: "O'III" },
      { keyword: 'EXPTIME', value: 300.5, comment: 's' },
      { keyword: 'NCOMBINE', value: 12 },
    ];
    const bytes = await writeMaster({ width: 3, height: 2, type, cards }, values);
    const found = judge(
      bytes,
      '[[repr(float(v)) for v in data[::-1].flatten()], header["FILTER"], header["EXPTIME"]]',
    ) as [string[], string, number];
    expect(found.slice(1)).toEqual(["O'III", 300.5]);
    expect(found[0].map((value) => Number(value.replace('inf', 'Infinity')))).toEqual([...values]);
    const plane = await openFits(memorySource('m.fits', bytes));
    expect(await readAll(plane)).toEqual(Float64Array.from(values));
    expect(plane.facts).toMatchObject({ filter: "O'III", exposure: 300.5, subs: 12 });
  });
});
