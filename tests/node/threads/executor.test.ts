import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as pathOf } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openPlane } from '../../../lib/formats/open.ts';
import { passesFor } from '../../../lib/measure/passes.ts';
import { openFile } from '../../../lib/node/files/file-source.ts';
import { poolExecutor } from '../../../lib/node/threads/executor.ts';
import { fromFile } from '../../../lib/plane/from-file.ts';
import { createMask, mark } from '../../../lib/plane/mask.ts';
import { measureBlocks } from '../../../lib/prepare/background/blocks.ts';
import { withoutSurface } from '../../../lib/prepare/background/surface.ts';
import { data, image, join } from '../../formats/fits/build.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';
import { lonePool } from './lone-pool.ts';

const folder = mkdtempSync(pathOf(tmpdir(), 'linewash-executor-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const [WIDTH, HEIGHT] = [75, 51];

/** A FITS file of noise. */
const fits = (bitpix: number, extra: readonly string[]): Uint8Array => {
  const next = randomNumbers(7);
  const bytes = Math.abs(bitpix) / 8;
  const view = Buffer.alloc(bytes * WIDTH * HEIGHT);
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const value = next();
    if (bitpix === -32) view.writeFloatBE(i % 97 === 5 ? Number.NaN : value, 4 * i);
    else if (bitpix === -64) view.writeDoubleBE(value, 8 * i);
    else if (bitpix === 32) view.writeInt32BE(Math.floor(1e6 * value), 4 * i);
    else view.writeInt16BE(Math.floor(20000 * value), 2 * i);
  }
  return join(image(bitpix, [WIDTH, HEIGHT], ...extra), data(view));
};

const KINDS: Readonly<Record<string, readonly [bitpix: number, extra: readonly string[]]>> = {
  'float32, bottom row first': [-32, []],
  'float32, top row first': [-32, ["ROWORDER= 'TOP-DOWN'"]],
  'unsigned 16-bit': [16, ['BZERO   = 32768']],
  'scaled 16-bit with blanks': [16, ['BSCALE  = 0.5', 'BLANK   = 77']],
  'wide integers': [32, []],
  float64: [-64, []],
};

const open = async (kind: string) => {
  const path = pathOf(folder, `${kind}.fits`);
  writeFileSync(path, fits(...KINDS[kind]!));
  const bytes = await openFile(path);
  const source = fromFile(await openPlane(bytes, {}), { file: path, at: path, selector: {} });
  return { bytes, source };
};

const mask = createMask(WIDTH, HEIGHT);
for (let y = 0; y < HEIGHT; y++) for (let x = 0; x <= y / 3; x++) mark(mask, x, y);

const executor = poolExecutor(await lonePool(), undefined);

describe.each(Object.keys(KINDS))('threads on %s', (kind) => {
  it('find the blocks of the slow way', async () => {
    const { bytes, source } = await open(kind);
    const box = { x: 3, y: 20, width: 40, height: 31 };
    for (const limits of [{}, { mask }, { include: [box] }, { exclude: [box], mask }]) {
      const fast = executor.blocks(source, limits);
      expect(await fast).toEqual(await measureBlocks(source, limits));
    }
    await bytes.close();
  });

  it('count what the slow way counts, with and without a mask', async () => {
    const { bytes, source } = await open(kind);
    for (const some of [undefined, mask]) {
      const request = { source, mask: some, pedestal: 0 };
      const fast = executor.count(request);
      const slow = passesFor(request, {});
      const upper = await fast!.upper();
      expect(upper).toEqual(await slow.upper());
      const bins = [...upper.bins.keys()].filter((i) => i % 3 === 0 && upper.bins[i]! > 2).map((i) => i / 3);
      expect(bins.length).toBeGreaterThan(2);
      expect(await fast!.lower(bins.slice(0, 9))).toEqual(await slow.lower(bins.slice(0, 9)));
    }
    await bytes.close();
  });
});

describe('threads', () => {
  it('find the blocks of a master from which a surface is taken off', async () => {
    const { bytes, source } = await open('float32, bottom row first');
    const flat = withoutSurface(source, { order: 1, coefficients: [0.1, 0.3, -0.2] });
    expect(await executor.blocks(flat, { mask })).toEqual(await measureBlocks(flat, { mask }));
    await bytes.close();
  });
});
