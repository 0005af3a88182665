import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { zstdStream } from '../../../lib/formats/tiff/zstd.ts';
import { xxh64 } from '../../../lib/formats/zstd/xxh64.ts';
import { formatError, LinewashError } from '../../../lib/plane/errors.ts';
import { seededRandom } from '../../fuzz/mutate.ts';
import { frameBytes, ZSTD_FRAMES } from './frames.ts';

/** A stream over bytes in pieces of one size, and how many of them have been read. */
const streamOf = (bytes: Uint8Array, size = 1 << 16) => {
  let at = 0;
  const stream = zstdStream({
    async next() {
      if (at >= bytes.length) return undefined;
      at += size;
      return bytes.slice(at - size, at);
    },
    fault: (message) => formatError('t', message),
  });
  return { stream, read: () => Math.min(at, bytes.length) };
};

const decode = async (bytes: Uint8Array, length: number, size?: number, take = 100_000) => {
  const { stream } = streamOf(bytes, size);
  const out = new Uint8Array(length);
  for (let at = 0; at < length; at += take) await stream.fill(out.subarray(at, Math.min(length, at + take)));
  return out;
};

const failure = (bytes: Uint8Array, length: number) =>
  decode(bytes, length).then(
    () => 'nothing',
    (error: unknown) => (error instanceof LinewashError ? error.message : `not ours: ${error}`),
  );

const same = (a: Uint8Array, b: Uint8Array) => Buffer.compare(a, b) === 0;
const bytesOf = (...parts: (Uint8Array | readonly number[])[]) =>
  new Uint8Array(Buffer.concat(parts.map((part) => Uint8Array.from(part))));
const MAGIC = [0x28, 0xb5, 0x2f, 0xfd];
/** No size, no sum, a window of 1 KiB; then blocks. */
const HEAD = [...MAGIC, 0, 0];
const raw = (bytes: readonly number[], last = 1) => {
  const word = (bytes.length << 3) | last;
  return [word & 255, (word >> 8) & 255, word >> 16, ...bytes];
};
/** `count` times one byte. */
const run = (value: number, count: number, last = 1) => {
  const word = (count << 3) | 2 | last;
  return [word & 255, (word >> 8) & 255, word >> 16, value];
};
const [TEXT, , ZEROS] = ZSTD_FRAMES;

describe('frames that the zstd tool wrote', () => {
  it.each(ZSTD_FRAMES.map((frame) => [frame.name, frame] as const))(
    '%s, however they are cut',
    async (_name, frame) => {
      for (const [size, take] of [
        [1, 1000],
        [7, 3],
        [1 << 16, 100_000],
      ] as const)
        expect(same(await decode(frameBytes(frame), frame.plain.length, size, take), frame.plain)).toBe(true);
    },
  );

  it('one after another, with skipped ones and empty ones between', async () => {
    const skipped = [0x5a, 0x2a, 0x4d, 0x18, 3, 0, 0, 0, 9, 9, 9];
    const bytes = bytesOf(skipped, frameBytes(TEXT!), HEAD, raw([]), skipped, frameBytes(ZEROS!), HEAD, run(7, 5));
    const wanted = bytesOf(TEXT!.plain, ZEROS!.plain, [7, 7, 7, 7, 7]);
    expect(same(await decode(bytes, wanted.length, 11), wanted)).toBe(true);
  });
});

const hasTool = spawnSync('zstd', ['--version']).status === 0;

describe.skipIf(!hasTool)('frames that the zstd tool writes now (needs zstd)', () => {
  const random = seededRandom(7);
  const drawn = (length: number, draw: (i: number) => number) => Uint8Array.from({ length }, (_, i) => draw(i));
  const noise = drawn(150_000, () => 256 * random());
  const kinds: Readonly<Record<string, Uint8Array>> = {
    'one byte': Uint8Array.of(5),
    noise,
    runs: drawn(400_000, (i) => i >> 13),
    skewed: drawn(300_000, () => 30 * random() ** 6),
    'words of two bytes': drawn(300_000, (i) => (i & 1 ? 40 + 3 * random() : 200 * random() * random())),
    // Far references, more than a window of 1 KiB and the slack of the history.
    'the same again': bytesOf(noise, ...Array.from({ length: 9 }, (_, i) => noise.subarray(i)), noise),
  };
  const levels = [['-1'], ['-9'], ['--fast=5', '--no-check'], ['--zstd=wlog=10']];

  it.each(Object.keys(kinds))('%s at several levels', async (kind) => {
    const plain = kinds[kind]!;
    // The highest level takes a second to begin with, whatever it packs.
    const all = kind === 'words of two bytes' ? [...levels, ['--ultra', '-22', '--long=27']] : levels;
    for (const level of all) {
      const { stdout } = spawnSync('zstd', ['-q', '-c', ...level], { input: plain, maxBuffer: 1 << 28 });
      expect(same(await decode(new Uint8Array(stdout), plain.length), plain), level.join(' ')).toBe(true);
    }
  });
});

describe('damaged and hostile streams', () => {
  const text = frameBytes(TEXT!);
  const length = TEXT!.plain.length;

  it('are damaged by any cut in front of the last byte, and by any change of the sum', async () => {
    for (let end = 0; end < text.length; end++) expect(await failure(text.subarray(0, end), length)).toMatch(/early/);
    for (const place of [1, 2, 3, 4]) {
      const changed = text.map((byte, i) => (i === text.length - place ? byte ^ 1 : byte));
      expect(await failure(changed, length)).toMatch(/damaged Zstandard stream \(its checksum does not match\)/);
    }
  });

  it.each([
    ['another magic number', [1, 2, 3, 4, 5, 6], /no frame begins/],
    ['a reserved bit', [...MAGIC, 8, 0, ...run(1, 9)], /reserved bit/],
    ['a dictionary', [...MAGIC, 1, 0, 9, ...run(1, 9)], /dictionary/],
    ['a window of 2 TiB', [...MAGIC, 0, 0xf8, ...run(1, 9)], /refers back over 2199023255552 bytes/],
    ['a block of the reserved kind', [...HEAD, 7, 0, 0], /unknown form/],
    ['a block of more than 128 KiB', [...HEAD, ...run(1, (1 << 17) + 1)], /unknown form/],
    ['a frame shorter than it says', [...MAGIC, 0x20, 10, ...run(1, 9)], /another length/],
    ['a reference to before the beginning', [...HEAD, 0x3d, 0, 0, 0, 1, 0x54, 0, 0, 0, 1], /before its beginning/],
    ['codes used again before there are any', [...HEAD, 0x25, 0, 0, 0x13, 0, 0, 0], /without codes/],
    ['tables used again before there are any', [...HEAD, 0x25, 0, 0, 0, 1, 0xfc, 1], /used again/],
    ['more literals than a block holds', [...HEAD, 0x2d, 0, 0, 0xfd, 0xff, 0xff, 7, 0], /more literals/],
    ['a last byte without an end mark', [...HEAD, 0x25, 0, 0, 0, 1, 0, 0], /end mark/],
  ] as [string, number[], RegExp][])('%s', async (_name, bytes, reason) => {
    expect(await failure(Uint8Array.from(bytes), 9)).toMatch(reason);
  });

  it('promise what they like: nothing is read or kept before it is asked for', async () => {
    const promised = [...MAGIC, 0xe0, 0, 0, 0, 0, 0, 0, 1, 0];
    const { stream, read } = streamOf(bytesOf(promised, ...Array.from({ length: 500 }, () => run(3, 1 << 17, 0))), 100);
    const into = new Uint8Array(1000);
    await stream.fill(into);
    expect(into.every((byte) => byte === 3)).toBe(true);
    expect(read()).toBe(100);
  });
});

it('sums as XXH64 is defined to', () => {
  const sum = (bytes: Uint8Array) => {
    const whole = xxh64();
    whole.add(bytes);
    const cut = xxh64();
    for (let at = 0; at < bytes.length; at += 13) cut.add(bytes.subarray(at, at + 13));
    expect(cut.low()).toBe(whole.low());
    return whole.low();
  };
  // XXH64 of nothing, with seed 0: ef46db3751d8e999 (the specification's value).
  expect(sum(new Uint8Array(0))).toBe(0x51d8e999);
  for (const frame of ZSTD_FRAMES) {
    const bytes = frameBytes(frame);
    expect(sum(frame.plain)).toBe(new DataView(bytes.buffer).getUint32(bytes.length - 4, true));
  }
});
