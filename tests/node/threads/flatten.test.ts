import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openPlane } from '../../../lib/formats/open.ts';
import { passesFor } from '../../../lib/measure/passes.ts';
import { openFile } from '../../../lib/node/files/file-source.ts';
import { createBandJobRunner } from '../../../lib/node/threads/band-job.ts';
import { poolExecutor } from '../../../lib/node/threads/executor.ts';
import { fromFile } from '../../../lib/plane/from-file.ts';
import { withoutSurface } from '../../../lib/prepare/background/surface.ts';
import { pictureInMemory, renderPicture } from '../../../lib/render/picture.ts';
import { storedRows } from '../../../lib/render/stored-rows.ts';
import { randomNumbers, settledFor } from '../../parity/settled-cases.ts';
import { lonePool } from './lone-pool.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-flatten-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const SURFACES = [
  { order: 1, coefficients: [0.01, -0.02, 0.03] },
  { order: 2, coefficients: [0.01, 0.2, -0.1, 0.05, 0.02, -0.03] },
  { order: 4, coefficients: [0, 0.1, 0.2, -0.1, 0.3, 0.1, -0.2, 0.05, 0.07, 0.01, 0.02, -0.04, 0.06, -0.08, 0.1] },
  {
    order: 2,
    coefficients: [0.01, 0.2, -0.1, 0.05, 0.02, -0.03],
    // Over the left edge, and down to the middle.
    shade: {
      left: -1.2,
      top: -0.9,
      right: 0.4,
      bottom: 0.1,
      columns: 3,
      rows: 2,
      values: [-0.3, -0.1, 0, -0.2, -0.4, 0],
    },
  },
];

/** A float32 FITS file of noise whose 18th stored pixel has no data. */
const fitsMaster = (width: number, height: number, seed: number): Buffer => {
  const cards = ['SIMPLE  = T', 'BITPIX  = -32', 'NAXIS   = 2', `NAXIS1  = ${width}`, `NAXIS2  = ${height}`, 'END'];
  const head = cards
    .map((card) => card.padEnd(80))
    .join('')
    .padEnd(2880);
  const next = randomNumbers(seed);
  const data = Buffer.alloc(Math.ceil((4 * width * height) / 2880) * 2880);
  for (let i = 0; i < width * height; i++) data.writeFloatBE(i === 17 ? Number.NaN : next() - 0.1, 4 * i);
  return Buffer.concat([Buffer.from(head, 'latin1'), data]);
};

/** A master of noise with a pixel that has no data, opened as the program does. */
const open = async (name: string, width: number, height: number) => {
  const path = join(folder, `${name}.fits`);
  writeFileSync(path, fitsMaster(width, height, name.length));
  const bytes = await openFile(path);
  const source = fromFile(await openPlane(bytes, {}), { file: path, at: path, selector: {} });
  return { bytes, source };
};

const alone = await lonePool();

describe('surfaces taken off in the kernel', () => {
  for (const surface of SURFACES)
    for (const width of [61, 64, 7])
      it(`give the pixels of the slow way, order ${surface.order}${'shade' in surface ? ' with a shadow' : ''}, width ${width}`, async () => {
        const height = 13;
        const opened = await Promise.all(['a', 'bb', 'ccc'].map((name) => open(name, width, height)));
        const flat = opened.map(({ source }) => withoutSurface(source, surface));
        const settled = settledFor({ curve: 'bias', a: Math.fround(0.9) });
        const form = { width, height, sample: 'u16', bands: 4 } as const;
        const { writer, picture } = pictureInMemory(form);
        const channels = settled.channels.map(({ name }, c) => ({ name, source: flat[c]! }));
        await renderPicture(channels, settled, form, writer, {});
        const output = join(folder, 'out');
        writeFileSync(output, '');
        expect(flat.every(({ origin }) => storedRows(origin)?.surface)).toBe(true);
        const plan = { settled, form, width, height, channels: flat.map(({ origin }) => origin!) };
        const place = { kind: 'placed', pixelOffset: 0, planes: false } as const;
        const target = { path: output, name: 'out', place };
        const runner = await createBandJobRunner({ plan, rows: 5, target }, () => true);
        for (let band = 0; band < 3; band++) await runner.run(band);
        runner.close();
        const pixels = new Uint16Array(new Uint8Array(readFileSync(output)).buffer);
        expect([...pixels]).toEqual([...picture.data]);
        expect(new Set(pixels).size).toBeGreaterThan(50);
        for (const { bytes } of opened) await bytes.close();
      });

  it.each([2, 3])('give the counts of the slow way, surface %d', async (which) => {
    const { bytes, source } = await open('d', 61, 40);
    const flat = withoutSurface(source, SURFACES[which]!);
    const request = { source: flat, mask: undefined, pedestal: 0 };
    const fast = poolExecutor(alone, undefined).count(request)!;
    const slow = passesFor(request, {});
    const upper = await fast.upper();
    expect(upper).toEqual(await slow.upper());
    expect(upper.missing).toBe(1);
    const bins = [0xbe00, 0x3e80, 0x3f00];
    expect(await fast.lower(bins)).toEqual(await slow.lower(bins));
    await bytes.close();
  });

  it('are left to the slow way where samples are not plain float32, or two surfaces are to be taken off', async () => {
    const { bytes, source } = await open('e', 9, 9);
    const once = withoutSurface(source, SURFACES[0]!);
    expect(storedRows(once.origin)).toBeDefined();
    expect(storedRows(withoutSurface(once, SURFACES[0]!).origin)).toBeUndefined();
    const picture = { file: 'e.fits', at: 'e.fits', selector: {} };
    const scaled = fromFile({ ...source, raw: { ...source.raw!, scale: 2 } }, picture);
    expect(storedRows(scaled.origin)).toBeDefined();
    expect(storedRows(withoutSurface(scaled, SURFACES[0]!).origin)).toBeUndefined();
    await bytes.close();
  });
});
