import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { hasModules, PYTHON } from '../../tools/python.ts';
import { fileSource, firstDifference, openFile, readInWindows, readRaw, readWhole } from './reading.ts';

interface Manifest {
  readonly values: Record<string, [string, string]>;
  readonly files: {
    readonly name: string;
    readonly width: number;
    readonly height: number;
    readonly values: string;
    readonly page?: number | readonly number[];
    readonly plane?: number;
  }[];
}

const ARRAYS: Record<string, new (buffer: ArrayBuffer) => ArrayLike<number>> = {
  u1: Uint8Array,
  i1: Int8Array,
  u2: Uint16Array,
  i2: Int16Array,
  u4: Uint32Array,
  i4: Int32Array,
  f4: Float32Array,
  f8: Float64Array,
};

const valuesOf = (manifest: Manifest, id: string): ArrayLike<number> => {
  const [type, text] = manifest.values[id]!;
  return new ARRAYS[type]!(new Uint8Array(Buffer.from(text, 'base64')).buffer);
};

const readManifest = (folder: string): Manifest => JSON.parse(readFileSync(join(folder, 'manifest.json'), 'utf8'));

const compareAll = (folder: string, manifest: Manifest): void => {
  it.each(manifest.files.map((file) => [file.name, file.page ?? '', file.plane ?? '', file] as const))(
    '%s %s %s',
    async (_name, _page, _plane, file) => {
      const path = join(folder, file.name);
      const plane = await openFile(path, { page: file.page, plane: file.plane });
      const wanted = valuesOf(manifest, file.values);
      expect([plane.width, plane.height]).toEqual([file.width, file.height]);
      expect(firstDifference(await readInWindows(plane), wanted)).toBe('');
      expect(firstDifference(await readWhole(plane), wanted)).toBe('');
      if (plane.raw) expect(firstDifference(await readRaw(fileSource(path), plane), wanted)).toBe('');
    },
  );
};

const KEPT = new URL('./fixtures/', import.meta.url).pathname;
const canWrite = hasModules('tifffile') && spawnSync('tiffcp', ['-h']).error === undefined;
const folder = canWrite ? mkdtempSync(join(tmpdir(), 'linewash-tiff-')) : '';
if (canWrite)
  execFileSync(PYTHON, [new URL('./make_fixtures.py', import.meta.url).pathname, folder], { stdio: 'pipe' });

describe('the kept files of other writers', () => {
  const manifest = readManifest(KEPT);
  it('are at least 30', () => expect(manifest.files.length).toBeGreaterThanOrEqual(30));
  compareAll(KEPT, manifest);
});

describe.skipIf(!canWrite)('every file of other writers (needs tifffile and tiffcp)', () => {
  const manifest = canWrite ? readManifest(folder) : { values: {}, files: [] };
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  it('are at least 200', () => expect(manifest.files.length).toBeGreaterThanOrEqual(200));
  compareAll(folder, manifest);
});
