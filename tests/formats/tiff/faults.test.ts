import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { firstDifference, openFile, readInWindows, readWhole } from './reading.ts';

const FOLDER = new URL('../../../../shared/faults/', import.meta.url).pathname;
const present = existsSync(FOLDER);

interface Expected {
  readonly action: string;
  readonly width?: number;
  readonly height?: number;
  readonly stored_row0_first4?: (number | null)[];
  readonly at_x44_y13?: number;
  readonly min?: number;
  readonly max?: number;
  readonly nonfinite?: number;
}

const expected: Record<string, Expected> = present ? JSON.parse(readFileSync(`${FOLDER}expected.json`, 'utf8')) : {};
const tiffs = Object.keys(expected).filter((name) => name.endsWith('.tif'));

/** Values in expected.json are rounded to the file's own float precision at most. */
const asFloat = (value: number | null | undefined, type: string) =>
  value === null || value === undefined ? Number.NaN : type === 'f32' ? Math.fround(value) : value;

describe.skipIf(!present)('odd and broken TIFF files', () => {
  it('has all of them', () => expect(tiffs.length).toBe(18));

  it.each(tiffs)('%s', async (name) => {
    const want = expected[name]!;
    const open = (plane?: number) => openFile(`${FOLDER}${name}`, plane === undefined ? {} : { plane });
    if (want.width === undefined) {
      await expect(open().then(readWhole)).rejects.toBeInstanceOf(LinewashError);
      return;
    }
    const several = name.startsWith('f22');
    if (several) await expect(open()).rejects.toThrow(/3 planes/);
    const plane = await open(several ? 0 : undefined);
    const values = await readWhole(plane);
    const finite = [...values].filter(Number.isFinite);
    expect([plane.width, plane.height]).toEqual([want.width, want.height]);
    expect([...values.slice(0, 4)]).toEqual(want.stored_row0_first4!.map((v) => asFloat(v, plane.type)));
    expect(values[13 * plane.width + 44]).toBe(asFloat(want.at_x44_y13, plane.type));
    expect(Math.min(...finite)).toBe(asFloat(want.min, plane.type));
    expect(Math.max(...finite)).toBe(asFloat(want.max, plane.type));
    expect(values.length - finite.length).toBe(want.nonfinite);
    expect(firstDifference(await readInWindows(plane), values)).toBe('');
  });

  it('says which of two pages was read', async () => {
    const { warnings } = await openFile(`${FOLDER}f26b_two_pages.tif`);
    expect(warnings.join()).toMatch(/2 pages; page \[0\] was taken.*file\.tif\[1\]/);
  });

  it('reads the float predictor of either byte order to the same values', async () => {
    const [little, big] = await Promise.all(
      ['le', 'be'].map(async (order) => readWhole(await openFile(`${FOLDER}f20c_pred3_${order}.tif`))),
    );
    expect(firstDifference(little!, big!)).toBe('');
  });
});
