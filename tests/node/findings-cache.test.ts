import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/index.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

const root = mkdtempSync(join(tmpdir(), 'linewash-cache-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const [WIDTH, HEIGHT] = [60, 40];
let folder = '';
let cache = '';
const inputs = () => ({ S: join(folder, 'S.fits'), H: join(folder, 'H.fits'), O: join(folder, 'O.fits') });

const writeMaster = async (path: string, seed: number): Promise<void> => {
  const sink = memorySink();
  const writer = writeMono(sink, { width: WIDTH, height: HEIGHT, type: 'f32', cards: [] });
  const next = randomNumbers(seed);
  await writer.writeRows(Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => 0.1 + 0.01 * next() + i / 90000));
  await writer.finish();
  writeFileSync(path, sink.bytes());
};

beforeEach(async () => {
  folder = mkdtempSync(join(root, 'case-'));
  cache = join(folder, 'cache', 'deep');
  for (const [seed, path] of Object.values(inputs()).entries()) await writeMaster(path, seed + 1);
});
afterEach(() => vi.unstubAllEnvs());

let runs = 0;
/** One picture by a program that has just been started: what a process remembers is forgotten. */
const mix = async (change: object = {}): Promise<{ sha: string; level: number }> => {
  vi.resetModules();
  const { mixFiles } = await import('../../lib/node/mix-files.ts');
  const { catalogueRecipe } = await import('../../lib/palettes/catalogue.ts');
  const output = join(folder, `${runs++}.tif`);
  const { settled } = await mixFiles({ recipe: catalogueRecipe('ember'), inputs: inputs(), output, cache, ...change });
  return {
    sha: createHash('sha256').update(readFileSync(output)).digest('hex'),
    level: settled.channels[0]!.background,
  };
};

const entries = () => readdirSync(cache).map((name) => join(cache, name));
const preparation = () => entries().find((path) => readFileSync(path, 'utf8').includes('\\"preparation\\"'))!;

/** Changes an entry as somebody would who knows how its checksum is made. */
const forge = (path: string, change: (text: string) => string): void => {
  const text = change(readFileSync(path, 'utf8').split('\n')[1]!);
  writeFileSync(path, `${createHash('sha256').update(text).digest('hex')}\n${text}`);
};

describe('what was found of masters', () => {
  it('is kept, used by the next run, and gives the same picture', async () => {
    const first = await mix();
    expect(entries()).toHaveLength(4);
    expect(await mix()).toEqual(first);
    expect(await mix({ cache: undefined })).toEqual(first);
    // That it is used shows where it says something else.
    forge(preparation(), (text) => text.replace(/"level":[\d.]+/g, '"level":0.05'));
    expect((await mix()).level).not.toBe(first.level);
  });

  it('is not believed of other bytes, even where a file looks the same', async () => {
    const first = await mix();
    forge(preparation(), (text) =>
      text.replace(/"level":[\d.]+/g, '"level":0.05').replace(/[0-9a-f]{64}/, 'f'.repeat(64)),
    );
    const before = preparation();
    expect(await mix()).toEqual(first);
    expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([]);
    expect(entries()).not.toContain(before);
    expect(await mix()).toEqual(first);
  });

  it('is found anew where a master changed, and where the recipe asks for something else', async () => {
    const first = await mix();
    await writeMaster(inputs().S, 77);
    const second = await mix();
    expect(second.level).not.toBe(first.level);
    expect(await mix({ cache: undefined })).toEqual(second);
    const count = entries().length;
    vi.resetModules();
    const { catalogueRecipe } = await import('../../lib/palettes/catalogue.ts');
    const recipe = { ...catalogueRecipe('ember'), background: { from: 'dark' as const } };
    expect(await mix({ recipe })).toEqual(await mix({ recipe, cache: undefined }));
    expect(entries().length).toBe(count + 1);
  });

  it('is ignored where it is damaged, and nothing fails where it cannot be kept', async () => {
    const first = await mix();
    for (const [i, path] of entries().entries())
      writeFileSync(path, i % 2 ? 'no entry' : readFileSync(path, 'utf8').slice(0, -9));
    expect(await mix()).toEqual(first);
    rmSync(cache, { recursive: true });
    writeFileSync(cache, 'a file where the folder should be');
    expect(await mix()).toEqual(first);
    expect(readFileSync(cache, 'utf8')).toContain('a file');
  });

  it('is dropped, the oldest first, where there is more than a thousand of it', async () => {
    await mix();
    const old = Array.from({ length: 1100 }, (_, i) => join(cache, `${String(i).padStart(40, '0')}.json`));
    for (const path of old) {
      writeFileSync(path, '');
      utimesSync(path, 1, 1);
    }
    const mine = ['mine.txt', `my-${'0'.repeat(40)}.json`, `${'0'.repeat(40)}.json.bak`, '.hidden'];
    for (const name of mine) {
      writeFileSync(join(cache, name), 'not of linewash');
      utimesSync(join(cache, name), 0, 0);
    }
    await writeMaster(inputs().S, 5);
    await mix();
    expect(entries().length).toBeLessThan(520);
    expect(readdirSync(cache)).toEqual(expect.arrayContaining(mine));
    expect(entries().filter((path) => !old.includes(path)).length).toBeGreaterThan(5);
  });
});

describe('the folder of the cache', () => {
  it('is where the environment says', async () => {
    const { usualCacheFolder } = await import('../../lib/node/findings-cache.ts');
    expect(usualCacheFolder()).toBeUndefined();
    vi.stubEnv('LINEWASH_CACHE', '/somewhere');
    expect(usualCacheFolder()).toBe('/somewhere');
    vi.stubEnv('LINEWASH_CACHE', '');
    vi.stubEnv('XDG_CACHE_HOME', '/caches');
    expect(usualCacheFolder()).toBe(join('/caches', 'linewash'));
    for (const caches of ['', 'not/absolute']) {
      vi.stubEnv('XDG_CACHE_HOME', caches);
      expect(usualCacheFolder()).toBe(join(homedir(), '.cache', 'linewash'));
    }
  });

  it('is nowhere for a user without a home', async () => {
    vi.resetModules();
    vi.doMock('node:os', async (original) => ({
      ...(await original<typeof import('node:os')>()),
      homedir: () => {
        throw new Error('ENOENT');
      },
    }));
    const { usualCacheFolder } = await import('../../lib/node/findings-cache.ts');
    vi.stubEnv('LINEWASH_CACHE', '');
    vi.stubEnv('XDG_CACHE_HOME', '');
    expect(usualCacheFolder()).toBeUndefined();
    vi.doUnmock('node:os');
  });

  it('keeps nothing of files whose hash is not known', async () => {
    const { findingsCache } = await import('../../lib/node/findings-cache.ts');
    const { S, H } = inputs();
    const one = findingsCache(cache);
    one.set('test', 1, [S, H], { noise: 0.25 });
    const checked = one.checking({ finish: async () => ({ [S]: 'a'.repeat(64) }), verify: () => {} });
    await checked.finish({});
    checked.verify();
    expect(existsSync(cache)).toBe(false);
  });

  it('keeps no numbers that its form cannot hold', async () => {
    const { findingsCache } = await import('../../lib/node/findings-cache.ts');
    const path = inputs().S;
    const hashing = { finish: async () => ({ [path]: 'a'.repeat(64) }), verify: () => {} };
    const one = findingsCache(cache);
    one.set('test', 1, [path], { noise: Number.NaN });
    one.set('test', 2, [path], { noise: 0.25 });
    const checked = one.checking(hashing);
    await checked.finish({});
    checked.verify();
    const other = findingsCache(cache);
    expect(other.get('test', 1, [path])).toBeUndefined();
    expect(other.get('test', 2, [path])).toEqual({ noise: 0.25 });
    expect(other.get('another', 2, [path])).toBeUndefined();
  });
});
