import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { BandJob } from '../../../lib/node/threads/band-job.ts';
import { type PoolJob, STOPPED, takePieces } from '../../../lib/node/threads/pool-job.ts';
import { createMask, mark } from '../../../lib/plane/mask.ts';
import type { Origin } from '../../../lib/plane/origin.ts';
import { inTurn } from '../../cases.ts';
import { inLight, samplesLike, settledFor } from '../../parity/settled-cases.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-strips-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const WIDTH = 61;
const HEIGHT = 47;
const NAMES = ['S', 'H', 'O'];
for (const [c, name] of NAMES.entries()) writeFileSync(join(folder, name), samplesLike(WIDTH * HEIGHT, 40 + c));

const curve = { curve: 'bias', a: Math.fround(0.9) } as const;
const hidden = createMask(WIDTH, HEIGHT);
for (let x = 3; x < 20; x++) mark(hidden, x, 5);
mark(hidden, 60, 46);

/** A master of plain float32 rows: the second with the bottom row first, the third with hidden pixels. */
const originOf = (name: string, c: number, offset = 0): Origin => {
  const raw = { offset, rowBytes: 4 * WIDTH, type: 'f32', bigEndian: false, zero: 0, scale: 1 } as const;
  const rows = {
    width: WIDTH,
    height: HEIGHT,
    type: 'f32',
    raw: { ...raw, blank: undefined, bottomUp: c === 1 },
  } as const;
  const file: Origin = { step: 'file', picture: { file: name, at: join(folder, name), selector: {} }, rows };
  return c === 2 ? { step: 'hide', of: file, mask: hidden } : file;
};

interface Change {
  readonly settled?: BandJob['plan']['settled'];
  readonly form?: BandJob['plan']['form'];
  readonly planes?: boolean;
  readonly offset?: number;
}

const jobWith = (
  rows: number,
  { settled = settledFor(curve), form = { sample: 'u16', bands: 4 }, planes = false, offset = 0 }: Change = {},
): BandJob => ({
  plan: {
    settled,
    form,
    width: WIDTH,
    height: HEIGHT,
    channels: NAMES.map((name, c) => originOf(name, c, c === 0 ? offset : 0)),
  },
  rows,
  target: { path: join(folder, 'out'), name: 'out', place: { kind: 'placed', pixelOffset: 10, planes } },
});

/** The pixels that a job writes when so many takers share it. */
const paint = async (bands: BandJob, takers: number): Promise<Buffer> => {
  writeFileSync(bands.target.path, '');
  const job: PoolJob = { hashes: [], bands };
  const shared = new Int32Array(new SharedArrayBuffer(8));
  const pause = () => new Promise<void>((resolve) => setImmediate(resolve));
  await Promise.all(Array.from({ length: takers }, () => takePieces(job, shared, pause)));
  return readFileSync(bands.target.path).subarray(10);
};

describe('bands', () => {
  it('give the same bytes in any size and shared by any number', async () => {
    for (const settled of [settledFor(curve), inLight(curve)]) {
      const whole = await paint(jobWith(HEIGHT, { settled }), 1);
      expect(whole.length).toBe(WIDTH * HEIGHT * 8);
      for (const rows of [1, 2, 7, 46])
        for (const takers of [1, 3]) expect((await paint(jobWith(rows, { settled }), takers)).equals(whole)).toBe(true);
    }
  });

  it('go to planes of big-endian rows, bottom first, where the format wants that', async () => {
    const form = { sample: 'f32', bands: 4 } as const;
    const pixels = await paint(jobWith(HEIGHT, { form }), 1);
    const wanted = Buffer.alloc(pixels.length);
    for (let y = 0; y < HEIGHT; y++)
      for (let x = 0; x < WIDTH; x++)
        for (let band = 0; band < 4; band++) {
          const value = pixels.readFloatLE(4 * ((y * WIDTH + x) * 4 + band));
          wanted.writeFloatBE(value, 4 * ((band * HEIGHT + HEIGHT - 1 - y) * WIDTH + x));
        }
    for (const rows of [1, 7, HEIGHT])
      expect((await paint(jobWith(rows, { form, planes: true }), 2)).equals(wanted)).toBe(true);
  });

  it('leave hidden pixels black and transparent', async () => {
    const pixels = await paint(jobWith(8), 1);
    for (const [x, y] of [
      [3, 5],
      [19, 5],
      [60, 46],
    ] as const)
      expect(pixels.readBigUInt64LE((y * WIDTH + x) * 8)).toBe(0n);
    expect(pixels.readUInt16LE((5 * WIDTH + 30) * 8 + 6)).toBe(65535);
  });

  it('stop all threads at the first error and say which file is short', async () => {
    const bands = jobWith(8, { offset: 4 * WIDTH });
    writeFileSync(bands.target.path, '');
    const shared = new Int32Array(new SharedArrayBuffer(8));
    await expect(takePieces({ hashes: [], bands }, shared)).rejects.toMatchObject({
      tag: 'format',
      file: 'S',
    });
    expect(shared[STOPPED]).toBe(1);
  });
});

const built = new URL('../../../dist/lib/node/index.js', import.meta.url);

describe.skipIf(!existsSync(built))('threads of the built library', () => {
  it.skipIf(!inTurn('picture however'))('write the same picture however many they are', async () => {
    const { mixFiles } = await import(/* @vite-ignore */ built.href);
    const side = 1200;
    const header = [
      'SIMPLE  =                    T',
      'BITPIX  =                  -32',
      'NAXIS   =                    2',
    ]
      .concat([`NAXIS1  = ${String(side).padStart(20)}`, `NAXIS2  = ${String(side).padStart(20)}`, 'END'])
      .map((card) => card.padEnd(80))
      .join('')
      .padEnd(2880);
    for (const [c, name] of NAMES.entries()) {
      const samples = samplesLike(side * side, 50 + c);
      const bytes = Buffer.from(samples.buffer).swap32();
      const padding = Buffer.alloc((2880 - (bytes.length % 2880)) % 2880);
      writeFileSync(join(folder, `${name}.fits`), Buffer.concat([Buffer.from(header), bytes, padding]));
    }
    const inputs = Object.fromEntries(NAMES.map((name) => [name, join(folder, `${name}.fits`)]));
    const recipe = {
      channels: NAMES,
      matrix: [
        [1, 0.1, 0],
        [0, 1, 0.1],
        [0.1, 0, 1],
      ],
      balance: 'rows',
    };
    const pictures = [];
    for (const threads of [1, 2, 3]) {
      const output = join(folder, `${threads}.tif`);
      const { settled } = await mixFiles({ recipe, inputs, output, threads });
      pictures.push({ settled, bytes: readFileSync(output) });
    }
    expect(pictures[1]!.settled).toEqual(pictures[0]!.settled);
    for (const { bytes } of pictures) expect(bytes.equals(pictures[0]!.bytes)).toBe(true);
  });
});
