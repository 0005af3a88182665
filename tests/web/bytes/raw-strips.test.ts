import { describe, expect, it } from 'vitest';
import { passesFor } from '../../../lib/measure/passes.ts';
import { measureChannels } from '../../../lib/parts/index.ts';
import { createMask, mark } from '../../../lib/plane/mask.ts';
import { hidePixels } from '../../../lib/plane/memory-plane.ts';
import { shrink } from '../../../lib/plane/shrink.ts';
import { samplesFor } from '../../../lib/plane/strips.ts';
import { measureBlocks } from '../../../lib/prepare/background/blocks.ts';
import { openSource } from '../../../lib/web/bytes/open-source.ts';
import { eachStoredStrip, storedRows } from '../../../lib/web/bytes/raw-strips.ts';
import { histogramAxis, histogramOf } from '../../../lib/web/histogram.ts';
import { inFlight } from '../../../lib/web/wire/in-flight.ts';
import { type BandWork, buffersOf, lookAtBand } from '../../../lib/web/workers/band-work.ts';
import { data, image } from '../../formats/fits/build.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';

const [WIDTH, HEIGHT] = [331, 260];

const fits = (bitpix: -32 | 16, extra: readonly string[]): Blob => {
  const next = randomNumbers(11);
  const bytes = Math.abs(bitpix) / 8;
  const view = Buffer.alloc(bytes * WIDTH * HEIGHT);
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const value = 500 + 40 * next() + i / 4000;
    if (bitpix === -32) view.writeFloatBE(i % 991 === 5 ? Number.NaN : value, 4 * i);
    else view.writeInt16BE(Math.floor(value), 2 * i);
  }
  return new Blob([Buffer.concat([image(bitpix, [WIDTH, HEIGHT], ...extra), data(view)])]);
};

const KINDS = {
  'bottom row first': fits(-32, []),
  'top row first': fits(-32, ["ROWORDER= 'TOP-DOWN'"]),
  '16-bit': fits(16, ['BZERO   = 32768']),
};

const mask = createMask(WIDTH, HEIGHT);
for (let y = 0; y < HEIGHT; y++) for (let x = 0; x <= y / 9; x++) mark(mask, x, y);

/** The buffers of all arrays of numbers in a value. */
const buffersIn = (value: unknown): ArrayBuffer[] => {
  if (ArrayBuffer.isView(value)) return [value.buffer as ArrayBuffer];
  return value !== null && typeof value === 'object' ? Object.values(value).flatMap(buffersIn) : [];
};

const quiet = {};
const whole = { y: 0, rows: HEIGHT };

describe.each(Object.entries(KINDS))('shares of a master with the %s', (_kind, blob) => {
  it('find what reading by rows finds', async () => {
    const source = await openSource('m.fits', blob);
    const hidden = hidePixels(source, mask);
    const count = { pedestal: 0, bins: [] };
    const means = { small: { width: 83, height: 65 }, from: 0, to: 65 };
    const found = await lookAtBand(source, { ...whole, mask, count, means, blocks: {} }, blob, quiet);
    expect(found.upper).toEqual(await passesFor({ source: hidden, mask: undefined, pedestal: 0 }, {}).upper());
    expect(found.means).toEqual((await shrink(hidden, 83)).data);
    expect(found.blocks).toEqual((await measureBlocks(hidden)).blocks);
    const bins = [0xc3fa, 0xc402, 0xc405];
    const lower = (await lookAtBand(source, { ...whole, mask, count: { pedestal: 0, bins } }, blob, quiet)).lower;
    expect(lower).toEqual(await passesFor({ source: hidden, mask: undefined, pedestal: 0 }, {}).lower(bins));
    const [measured] = await measureChannels([{ name: 'S', source: hidden }]);
    const { histogram } = await lookAtBand(
      source,
      { ...whole, mask, histogram: histogramAxis(measured!) },
      blob,
      quiet,
    );
    expect(histogram).toEqual((await histogramOf(hidden, measured!)).counts);
    expect(histogram!.reduce((a, b) => a + b, 0)).toBe(measured!.counted);
  });

  it('find the same in rows that do not lie in the file as they are', async () => {
    const source = await openSource('m.fits', blob);
    const decoded = { ...source, raw: undefined };
    const part = { y: 65, rows: 130, mask };
    const means = { small: { width: 83, height: 65 }, from: 17, to: 48 };
    const [measured] = await measureChannels([{ name: 'S', source }]);
    const wishes: Omit<BandWork, 'y' | 'rows'>[] = [
      { count: { pedestal: 500, bins: [] } },
      { count: { pedestal: 0, bins: [0xc3fa, 0xc402, 0xc405] }, means },
      { histogram: histogramAxis(measured!), blocks: {} },
      { means },
    ];
    for (const wish of wishes) {
      const [stored, read] = await Promise.all(
        [source, decoded].map((one) => lookAtBand(one, { ...part, ...wish }, blob, quiet)),
      );
      expect(read).toEqual(stored);
      expect(Object.keys(read!).length).toBe(Object.keys(wish).length);
    }
  });

  it('hand over every buffer of what they found', async () => {
    const source = await openSource('m.fits', blob);
    const [measured] = await measureChannels([{ name: 'S', source }]);
    const means = { small: { width: 83, height: 65 }, from: 0, to: 65 };
    for (const wish of [
      { count: { pedestal: 0, bins: [] }, means },
      { count: { pedestal: 0, bins: [0xc3fa] } },
      { histogram: histogramAxis(measured!) },
    ]) {
      const found = await lookAtBand(source, { ...whole, ...wish }, blob, quiet);
      const buffers = buffersOf(found);
      expect(new Set(buffers)).toEqual(new Set(buffersIn(found)));
      expect(buffers.length).toBe(buffersIn(found).length);
    }
    expect(buffersOf({})).toEqual([]);
  });

  it('see every row once, top first, in whichever part', async () => {
    const source = await openSource('m.fits', blob);
    const stored = storedRows(source, blob)!;
    const row = samplesFor(source, WIDTH);
    const into = new Uint8Array(stored.raw.rowBytes * 400);
    for (const part of [whole, { y: 17, rows: 1 }, { y: 200, rows: 60 }]) {
      const seen: number[] = [];
      await eachStoredStrip(
        stored,
        part,
        into,
        (y, rows) => seen.push(...Array.from({ length: rows }, (_, i) => y + i)),
        quiet,
      );
      expect(seen).toEqual(Array.from({ length: part.rows }, (_, i) => part.y + i));
    }
    await source.readRows(17, 1, row);
    expect(row.some((value) => value > 500)).toBe(true);
  });
});

describe('a file that changed', () => {
  it('is named where it is shorter than it was', async () => {
    const blob = KINDS['bottom row first'];
    const source = await openSource('gone.fits', blob);
    const cut = blob.slice(0, 4000);
    await expect(lookAtBand(source, { ...whole, count: { pedestal: 0, bins: [] } }, cut, quiet)).rejects.toMatchObject({
      file: 'gone.fits',
    });
  });
});

describe('work under way', () => {
  it('is waited for until it is calm, whether it succeeds or not, but not for ever', async () => {
    const flight = inFlight();
    await flight.calm(1e6);
    let end = (): void => {};
    const work = new Promise<void>((resolve) => {
      end = resolve;
    });
    let calm = false;
    flight.add(work);
    flight.add(Promise.reject(new Error('no'))).catch(() => {});
    const waiting = flight.calm(1e6).then(() => {
      calm = true;
    });
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect(calm).toBe(false);
    end();
    await waiting;
    flight.add(new Promise(() => {}));
    await flight.calm(5);
  });
});
