import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import type { PlaneSource, Samples } from '../../../lib/plane/plane.ts';

/** One line of the manifest that make_fixtures.py writes. */
export interface Expected {
  readonly file: string;
  readonly values: string;
  readonly width: number;
  readonly height: number;
  readonly hdu: number | string | null;
  readonly plane: number | null;
  readonly type: string;
  readonly topDown: boolean;
}

export const readManifest = (folder: string): Expected[] =>
  JSON.parse(readFileSync(join(folder, 'manifest.json'), 'utf8'));

export const readBytes = (...path: string[]): Uint8Array => new Uint8Array(readFileSync(join(...path)));

export const openExpected = (
  folder: string,
  row: Expected,
  bytes = readBytes(folder, row.file),
): Promise<PlaneSource> =>
  openFits(memorySource(row.file, bytes), { hdu: row.hdu ?? undefined, plane: row.plane ?? undefined });

export const expectedValues = (folder: string, row: Expected): Float64Array =>
  new Float64Array(readBytes(folder, row.values).buffer);

export const readAll = async (plane: PlaneSource): Promise<Float64Array> => {
  const pixels = new Float64Array(plane.width * plane.height);
  await plane.readRows(0, plane.height, pixels);
  return pixels;
};

/** Index of the first pixel that differs (NaN equals NaN), -1 where all agree. */
export const firstDifference = (found: Samples, wanted: Samples): number => {
  if (found.length !== wanted.length) return Math.min(found.length, wanted.length);
  for (let i = 0; i < found.length; i++)
    if (found[i] !== wanted[i] && !(Number.isNaN(found[i]) && Number.isNaN(wanted[i]))) return i;
  return -1;
};

/** Reads a file whole as float64 and as float32, and in windows of odd heights in both directions. */
export const checkFile = async (folder: string, row: Expected): Promise<void> => {
  const wanted = expectedValues(folder, row);
  const plane = await openExpected(folder, row);
  expect([plane.width, plane.height, plane.type]).toEqual([row.width, row.height, row.type]);
  expect(firstDifference(await readAll(plane), wanted)).toBe(-1);
  // Whatever sums other writers put into their files fit.
  expect((await plane.checkSums?.()) ?? []).toEqual([]);
  const rounded = Float32Array.from(wanted);
  const single = new Float32Array(wanted.length);
  await plane.readRows(0, row.height, single);
  expect(firstDifference(single, rounded)).toBe(-1);
  for (const height of [1, 3, 7]) {
    for (let y = 0; y < row.height; y += height) await checkWindow(plane, y, height, rounded);
    for (let y = row.height - 1; y >= 0; y -= height) await checkWindow(plane, y, height, wanted);
  }
};

const checkWindow = async (plane: PlaneSource, y: number, height: number, all: Samples): Promise<void> => {
  const rows = Math.min(height, plane.height - y);
  const window =
    all instanceof Float32Array ? new Float32Array(rows * plane.width) : new Float64Array(rows * plane.width);
  await plane.readRows(y, rows, window);
  if (firstDifference(window, all.subarray(y * plane.width, (y + rows) * plane.width)) !== -1)
    throw new Error(`rows ${y} to ${y + rows} differ from the whole`);
};
