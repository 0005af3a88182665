import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as pathOf } from 'node:path';
import { deflateSync, gzipSync } from 'node:zlib';
import { afterAll, expect, it } from 'vitest';
import { openPlane } from '../../../lib/formats/open.ts';
import { passesFor } from '../../../lib/measure/passes.ts';
import { syncSource } from '../../../lib/node/files/sync-source.ts';
import { poolExecutor } from '../../../lib/node/threads/executor.ts';
import type { Pool } from '../../../lib/node/threads/pool.ts';
import { joinResults, type PoolJob, takePieces } from '../../../lib/node/threads/pool-job.ts';
import type { PlaceCounts } from '../../../lib/plane/counting.ts';
import { fromFile } from '../../../lib/plane/from-file.ts';
import { createMask, mark } from '../../../lib/plane/mask.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { isWide } from '../../../lib/plane/strips.ts';
import { measureBlocks } from '../../../lib/prepare/background/blocks.ts';
import { data, image, join } from '../../formats/fits/build.ts';
import { buildTiff, greyTags } from '../../formats/tiff/build.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';
import { drawSource } from '../../render/draw-source.ts';

const folder = mkdtempSync(pathOf(tmpdir(), 'linewash-origins-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const [WIDTH, HEIGHT] = [83, 71];
const PIXELS = WIDTH * HEIGHT;

const floats = (next: () => number): Buffer => {
  const view = Buffer.alloc(4 * PIXELS);
  for (let i = 0; i < PIXELS; i++) view.writeFloatBE(next() < 0.02 ? Number.NaN : 1.2 * next() - 0.1, 4 * i);
  return view;
};

const integers = (next: () => number): Buffer => {
  const view = Buffer.alloc(4 * PIXELS);
  for (let i = 0; i < PIXELS; i++) view.writeInt32BE(Math.floor(1e6 * next()), 4 * i);
  return view;
};

/** A TIFF of 16-bit numbers in deflated strips of so many rows. */
const strips = (next: () => number, rows: number): Uint8Array => {
  const numbers = Uint16Array.from({ length: PIXELS }, () => Math.floor(65536 * next()));
  const chunks = [];
  for (let y = 0; y < HEIGHT; y += rows)
    chunks.push(deflateSync(new Uint8Array(numbers.slice(y * WIDTH, (y + rows) * WIDTH).buffer)));
  const tags = greyTags(WIDTH, HEIGHT, 16, [
    [278, 3, [rows]],
    [259, 3, [8]],
  ]);
  return buildTiff([{ tags, chunks }]);
};

type Kind = (next: () => number) => Uint8Array;

/** Files that lie as they are, in pieces that are decoded alone, and in one that is decoded from its beginning. */
const KINDS: readonly Kind[] = [
  (next) => join(image(-32, [WIDTH, HEIGHT]), data(floats(next))),
  (next) => join(image(32, [WIDTH, HEIGHT]), data(integers(next))),
  (next) => gzipSync(join(image(-32, [WIDTH, HEIGHT]), data(floats(next)))),
  (next) => strips(next, 9),
  (next) => strips(next, HEIGHT),
];

const openings: Promise<PlaneSource>[] = [];

/** Files are written first; what a draw asks for is opened by then. */
const files = new Map<string, PlaneSource>();
const next = randomNumbers(11);
for (let i = 0; i < 3 * KINDS.length; i++) {
  const path = pathOf(folder, `${i}`);
  writeFileSync(path, KINDS[i % KINDS.length]!(next));
  const bytes = syncSource(path, path);
  afterAll(() => bytes.close());
  openings.push(openPlane(bytes).then((source) => fromFile(source, { file: path, at: path, selector: {} })));
}
for (const [i, source] of (await Promise.all(openings)).entries()) files.set(`${i}`, source);

/** So many takers share each job, as threads do, by what crosses to them; pieces of few rows, so that there are many. */
const takers = (count: number): Pool => ({
  begin() {
    throw new Error('nothing is begun here');
  },
  async do(job) {
    const few = <T extends { readonly pieceRows: number }>(rows: T, each: number): T => ({
      ...rows,
      pieceRows: rows.pieceRows < HEIGHT ? rows.pieceRows : each,
    });
    const small: PoolJob = structuredClone({
      hashes: [],
      ...(job.counts && { counts: few(job.counts, 5) }),
      ...(job.blocks && { blocks: few(job.blocks, job.blocks.size) }),
    });
    const shared = new Int32Array(new SharedArrayBuffer(8));
    const pause = () => new Promise<void>((resolve) => setImmediate(resolve));
    return joinResults(await Promise.all(Array.from({ length: count }, () => takePieces(small, shared, pause))));
  },
});

it('threads count and measure sources of any origin as one thread does by their rows', async () => {
  const mask = createMask(WIDTH, HEIGHT);
  for (let y = 0; y < HEIGHT; y++) for (let x = 0; x <= y / 3; x++) mark(mask, x, y);
  const seen = { wide: 0, plain: 0, together: 0 };
  for (let seed = 1; seed <= 14; seed++) {
    const draw = randomNumbers(seed);
    const source = drawSource(draw, Math.floor(4 * draw()), '', () => files.get(`${Math.floor(files.size * draw())}`)!);
    seen.wide += Number(isWide(source));
    seen.plain += Number(source.origin!.step === 'file');
    seen.together += Number((source.rowsTogether ?? 1) > 1);
    const unwanted = draw() < 0.5 ? mask : undefined;
    const request = { source, mask: unwanted, pedestal: isWide(source) ? 0.3 : 0 };
    const slow = passesFor(request, {});
    const upper = await slow.upper();
    const bins = [...upper.bins.keys()].filter((i) => i % 3 === 0 && upper.bins[i]! > 2).map((i) => i / 3);
    const some = bins.slice(0, 7);
    const lower = (await slow.lower(some)).map((parts) => sumOf(parts));
    const blocks = await measureBlocks(source, { mask: unwanted });
    for (const count of [1, 3]) {
      const executor = poolExecutor(takers(count), undefined);
      const fast = executor.count(request)!;
      const found = await fast.upper();
      expect([found.missing, found.zeros]).toEqual([upper.missing, upper.zeros]);
      expect(sameNumbers(found.bins, upper.bins)).toBe(true);
      const more = (await fast.lower(some)).map((parts) => sumOf(parts));
      expect(more.every((sums, k) => sameNumbers(sums, lower[k]!))).toBe(true);
      expect(await executor.blocks(source, { mask: unwanted })).toEqual(blocks);
    }
    expect(upper.missing).toBeLessThan(PIXELS);
    expect(some.length).toBeGreaterThan(2);
  }
  for (const many of Object.values(seen)) expect(many).toBeGreaterThan(1);
});

/** Much faster than a comparison that could tell where they differ. */
const sameNumbers = (a: Float64Array, b: Float64Array): boolean => Buffer.from(a.buffer).equals(Buffer.from(b.buffer));

/** How often each place was counted, whoever counted it. */
const sumOf = (parts: readonly PlaceCounts[]): Float64Array => {
  const sums = new Float64Array(1 << 16);
  for (const { bytes, passed } of parts) {
    for (let i = 0; i < bytes.length; i++) sums[i]! += bytes[i]!;
    for (const [place, times] of passed) sums[place]! += 256 * times;
  }
  return sums;
};
