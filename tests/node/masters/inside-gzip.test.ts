import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { openPlane } from '../../../lib/formats/open.ts';
import { placesInside } from '../../../lib/node/masters/inside-gzip.ts';
import { closeMasters, openMasters } from '../../../lib/node/masters/masters.ts';
import { withExecutor } from '../../../lib/node/threads/executor.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-inside-'));
afterAll(() => rmSync(folder, { recursive: true }));

const [width, height] = [700, 600];
const fits = (first: number): Buffer => {
  const card = (key: string, value: string | number) => `${key.padEnd(8)}= ${String(value).padStart(20)}`.padEnd(80);
  const cards = [
    card('SIMPLE', 'T'),
    card('BITPIX', -32),
    card('NAXIS', 2),
    card('NAXIS1', width),
    card('NAXIS2', height),
  ];
  const pixels = Buffer.alloc(Math.ceil((4 * width * height) / 2880) * 2880);
  for (let i = 0; i < width * height; i++) pixels.writeFloatBE(first + ((i * 7919) % 1000), 4 * i);
  return Buffer.concat([Buffer.from([...cards, 'END'.padEnd(80)].join('').padEnd(2880)), pixels]);
};
const write = (name: string, bytes: Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
};
const a = write('a.fits.gz', gzipSync(fits(1), { level: 1 }));
const b = write('b.fits.gz', gzipSync(fits(2), { level: 9 }));
const plain = write('c.fits', fits(3));
const cut = write('cut.fits.gz', readFileSync(a).subarray(0, -5000));

describe('placesInside', () => {
  it('finds the places that opening finds, and leaves out what has none or is damaged', async () => {
    const places = await withExecutor(undefined, (executor) => placesInside([a, `${b},${plain}`, cut], executor));
    expect([...places!.keys()]).toEqual([a, b, cut]);
    for (const path of [a, b]) {
      const own = await openPlane(memorySource(path, readFileSync(path)));
      expect(places!.get(path)).toEqual(own.seekPoints);
    }
    expect(places!.get(cut)).toBeUndefined();
  });

  it('does not go through one file alone, nor without help', async () => {
    expect(await withExecutor(undefined, (executor) => placesInside([a, plain, 'nowhere.fits.gz'], executor))).toBe(
      undefined,
    );
    expect(await placesInside([a, b], undefined)).toBe(undefined);
  });
});

describe('openMasters', () => {
  it('reads the same rows of gzip files with help as without', async () => {
    const rows = await Promise.all(
      [true, false].map((helped) =>
        withExecutor(undefined, async (executor) => {
          const masters = await openMasters({ A: a, B: b }, { zeros: 'data', ...(helped && { executor }) });
          const read = [];
          for (const { source } of masters) {
            const into = new Float32Array(50 * width);
            await source.readRows(301, 50, into);
            read.push(into);
          }
          await closeMasters(masters);
          return read;
        }),
      ),
    );
    expect(rows[0]).toEqual(rows[1]);
    expect(rows[0]![0]![0]).toBe(1 + (((height - 1 - 301) * width * 7919) % 1000));
  });

  it('says which of several is damaged', async () => {
    const opening = withExecutor(undefined, (executor) => openMasters({ A: a, B: cut }, { zeros: 'data', executor }));
    await expect(opening).rejects.toMatchObject({ file: cut });
  });
});
