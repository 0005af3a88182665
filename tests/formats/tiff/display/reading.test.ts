import { spawnSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { isColourPicture, openColourPlanes } from '../../../../lib/formats/colour-planes.ts';
import { openPlane } from '../../../../lib/formats/open.ts';
import type { ByteSource } from '../../../../lib/plane/bytes.ts';
import { fileSource, firstDifference, openFile, readInWindows, readWhole } from '../reading.ts';

const kept = (name: string) => fileURLToPath(new URL(`fixtures/${name}.tif`, import.meta.url));
const NAMES = ['ycc-strips', 'ycc-tiles', 'rgb-planes', 'grey'];

/** How far a file is from what libtiff made of it: the largest difference, and its root mean square. */
const distance = async (path: string, judged: string) => {
  const sources = await openColourPlanes(fileSource(path));
  let [most, sum, count] = [0, 0, 0];
  for (const [plane, source] of sources.entries()) {
    const found = await readWhole(source);
    const wanted = await readWhole(await openFile(judged, { plane }));
    for (let i = 0; i < wanted.length; i++) {
      const off = Math.abs(found[i]! - wanted[i]!);
      most = Math.max(most, off);
      sum += off * off;
    }
    count += wanted.length;
  }
  return { most, rms: Math.sqrt(sum / count) };
};

/**
 * Decoders may round a sample by 1 either way (IEEE 1180, peak error), so two differ by 2 at most. Luminance and
 * differences become colours with factors of up to 1.772, and libtiff rounds what lies between thinned-out differences.
 */
const expectNear = ({ most, rms }: { most: number; rms: number }, differences: boolean) => {
  expect(most).toBeLessThanOrEqual(differences ? 2 + 1.772 * 2.5 + 1 : 2);
  expect(rms).toBeLessThanOrEqual(differences ? 1 : 0.5);
};

describe('a JPEG in a TIFF, as a picture of stars', () => {
  it.each(NAMES)('is read as libtiff reads it: %s', async (name) =>
    expectNear(await distance(kept(name), kept(`${name}.read`)), name.startsWith('ycc')),
  );

  it.each(NAMES)('is the same in windows of any height, as 8-bit samples: %s', async (name) => {
    for (const source of await openColourPlanes(fileSource(kept(name)))) {
      expect(source).toMatchObject({ type: 'u8', fullScale: 255, width: 45, height: 37, raw: undefined });
      expect(firstDifference(await readInWindows(source), await readWhole(source))).toBe('');
    }
  });

  it('says that it is for display, and whether it has colour', async () => {
    const [red] = await openColourPlanes(fileSource(kept('ycc-strips')));
    expect(red!.warnings).toEqual([expect.stringContaining('a JPEG picture, made for display')]);
    expect(await isColourPicture(fileSource(kept('ycc-strips')))).toBe(true);
    expect(await isColourPicture(fileSource(kept('grey')))).toBe(false);
  });

  it('shares what is decoded between its colours', async () => {
    const bytes = fileSource(kept('ycc-strips'));
    let reads = 0;
    const counting: ByteSource = {
      ...bytes,
      read(offset, length) {
        reads++;
        return bytes.read(offset, length);
      },
    };
    const sources = await openColourPlanes(counting);
    reads = 0;
    await Promise.all(sources.map((source) => source.readRows(0, 16, new Float32Array(16 * 45))));
    expect(reads).toBe(1);
  });

  it('is no master', async () => {
    await expect(openPlane(fileSource(kept('grey')))).rejects.toMatchObject({
      tag: 'format',
      message: expect.stringContaining('it is a JPEG picture: its values are rounded and made for display'),
    });
    await expect(openPlane(fileSource(kept('ycc-tiles')), { plane: 1 })).rejects.toThrow('so it is no master');
  });
});

const hasTools = ['tiffcp', 'tiff2rgba'].every((tool) => spawnSync(tool, ['-h']).error === undefined);

describe.skipIf(!hasTools)('JPEG as tiffcp writes it (needs libtiff-tools)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-jpeg-'));
  const run = (tool: string, ...words: string[]) => {
    const { status, stderr } = spawnSync(tool, words, { encoding: 'utf8' });
    expect(status, stderr).toBe(0);
  };

  it.each([
    ['jpeg:30', '-r', '16'],
    ['jpeg:100', '-r', '48'],
    ['jpeg:75', '-t', '-w', '16', '-l', '48'],
    ['jpeg:75', '-t', '-w', '64', '-l', '64', '-8', '-B'],
    ['jpeg:r:60', '-r', '8'],
    ['jpeg:r:95', '-t', '-w', '32', '-l', '32', '-p', 'separate'],
  ])('%s %s %s %s %s %s %s', async (...options) => {
    const [packed, read] = [join(folder, `${options.join('')}.tif`), join(folder, `${options.join('')}.read.tif`)];
    run('tiffcp', '-c', ...options, kept('ycc-strips.read'), packed);
    run('tiff2rgba', '-c', 'none', '-n', packed, read);
    expectNear(await distance(packed, read), !options[0]!.includes(':r'));
  });
});
