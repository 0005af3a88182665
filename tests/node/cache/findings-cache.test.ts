import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { afterAll, afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { writeMono } from '../../../lib/formats/fits/write.ts';
import type { FindingKind } from '../../../lib/node/cache/finding-kinds.ts';
import { memorySink } from '../../../lib/parts/index.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';
import { algorithmsOf, stampAlgorithms } from '../../tools/algorithms.mjs';

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
  const { mixFiles } = await import('../../../lib/node/mix-files.ts');
  const { catalogueRecipe } = await import('../../../lib/palettes/catalogue.ts');
  const output = join(folder, `${runs++}.tif`);
  const { settled } = await mixFiles({ recipe: catalogueRecipe('ember'), inputs: inputs(), output, cache, ...change });
  return {
    sha: createHash('sha256').update(readFileSync(output)).digest('hex'),
    level: settled.channels[0]!.background,
  };
};

const entries = () => readdirSync(cache).map((name) => join(cache, name));
const preparation = () => entries().find((path) => readFileSync(path, 'utf8').includes('\\"preparation\\"'))!;

/** A kind that takes anything. */
const NOISE: FindingKind<{ noise: number }> = {
  name: 'test',
  accepts: (answer): answer is { noise: number } => answer !== undefined,
};

/** Changes an entry as somebody would who knows how its checksum is made. */
const forge = (path: string, change: (text: string) => string): void => {
  const text = change(readFileSync(path, 'utf8').split('\n')[1]!);
  writeFileSync(path, `${createHash('sha256').update(text).digest('hex')}\n${text}`);
};

describe('what was found of masters', () => {
  it('is kept, used by the next run, and gives the same picture', async () => {
    const first = await mix();
    // Three masters without a border, their three pairs, and what preparing them gave.
    expect(entries()).toHaveLength(7);
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
    const { catalogueRecipe } = await import('../../../lib/palettes/catalogue.ts');
    const recipe = { ...catalogueRecipe('ember'), background: { from: 'dark-blocks' as const } };
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

/** Paths of all values below a value. */
const places = (value: unknown, at: (string | number)[] = []): (string | number)[][] => [
  at,
  ...(typeof value === 'object' && value !== null
    ? Object.entries(value).flatMap(([key, inner]) => places(inner, [...at, Array.isArray(value) ? Number(key) : key]))
    : []),
];

/** A value with another one at a place. */
const planted = (value: unknown, [key, ...rest]: readonly (string | number)[], other: unknown): unknown => {
  if (key === undefined) return other;
  const copy: any = Array.isArray(value) ? [...value] : { ...(value as object) };
  copy[key] = planted(copy[key], rest, other);
  return copy;
};

const ODD = [
  null,
  true,
  -1,
  0.5,
  'text',
  [],
  {},
  [[]],
  { level: 1 },
  JSON.parse(`${'['.repeat(3000)}${']'.repeat(3000)}`),
];

describe('an entry with a right checksum that is no finding', () => {
  it('never reaches the picture nor stops it, whatever stands wherever in it', { timeout: 120_000 }, async () => {
    await mix();
    const { PREPARATION, BORDERLESS } = await import('../../../lib/node/cache/finding-kinds.ts');
    const { answer } = JSON.parse(readFileSync(preparation(), 'utf8').split('\n')[1]!);
    expect(PREPARATION.accepts(answer)).toBe(true);
    const kind = (value: unknown) => (Array.isArray(value) ? 'list' : value === null ? 'null' : typeof value);
    const all = places(answer);
    fc.assert(
      fc.property(fc.constantFrom(...all), fc.constantFrom(...ODD), (place, odd) => {
        const found = place.reduce((value: any, key) => value[key], answer);
        // A value of the same kind may be one that was found; a list or table may be empty.
        if (kind(found) === kind(odd)) return;
        expect(PREPARATION.accepts(planted(answer, place, odd))).toBe(false);
      }),
      { numRuns: 500 },
    );
    for (const odd of ODD) expect(BORDERLESS.accepts(odd)).toBe(odd === true);
  });

  it('is dropped in silence and made anew', async () => {
    const first = await mix();
    const read = () => new Map(entries().map((path) => [path, JSON.parse(readFileSync(path, 'utf8').split('\n')[1]!)]));
    const before = read();
    for (const odd of ODD.slice(0, 4).concat(ODD.slice(-1))) {
      // That there is no border is what an entry says with `true`.
      const answer = odd === true ? 'true' : odd;
      for (const [path, entry] of before) forge(path, () => JSON.stringify({ ...entry, answer }));
      expect(await mix()).toEqual(first);
      expect(read()).toEqual(before);
    }
  });

  it('is dropped where it is no entry at all', async () => {
    const { readEntry, writeEntry } = await import('../../../lib/node/cache/cache-entries.ts');
    const entry = { key: 'a key', hashes: { '/a': 'a'.repeat(64) }, answer: 1 };
    const forms = [...ODD, { ...entry, key: 1 }, { ...entry, key: 'another' }, { ...entry, hashes: { '/a': 'b' } }];
    for (const form of forms) {
      writeEntry(cache, entry);
      expect(readEntry(cache, 'a key')).toEqual(entry);
      forge(entries()[0]!, () => JSON.stringify(form));
      expect(readEntry(cache, 'a key')).toBeUndefined();
      expect(entries()).toEqual([]);
    }
  });

  it('is not believed where it speaks of other lines, sizes or counts than the masters have', async () => {
    const first = await mix();
    const path = preparation();
    const text = readFileSync(path, 'utf8').split('\n')[1]!;
    for (const [from, to] of [
      ['"name":"S"', '"name":"N"'],
      [`"width":${WIDTH}`, `"width":${WIDTH + 1}`],
      ['"counted":', '"counted":9'],
    ] as const) {
      forge(path, () => text.replace(from, to).replace(/"level":[\d.]+/g, '"level":0.05'));
      expect(await mix()).toEqual(first);
    }
  });
});

describe('a place where others can write', () => {
  const believes = async (): Promise<boolean> => {
    const { level } = await mix();
    return level === Math.fround(0.05);
  };
  const poison = () => forge(preparation(), (text) => text.replace(/"level":[\d.]+/g, '"level":0.05'));

  it.skipIf(process.platform === 'win32')('is not believed: folder, file, owner, link', async () => {
    await mix();
    poison();
    expect(await believes()).toBe(true);
    chmodSync(cache, 0o720);
    expect(await believes()).toBe(false);
    chmodSync(cache, 0o702);
    expect(await believes()).toBe(false);
    chmodSync(cache, 0o755);
    poison();
    expect(await believes()).toBe(true);
    chmodSync(preparation(), 0o666);
    expect(await believes()).toBe(false);
    const mine = process.getuid!();
    poison();
    chmodSync(preparation(), 0o600);
    const uid = vi.spyOn(process as { getuid(): number }, 'getuid').mockReturnValue(mine + 1);
    expect(await believes()).toBe(false);
    uid.mockRestore();
  });

  it.skipIf(process.platform === 'win32')('is left as it is, and new ones are for the user alone', async () => {
    mkdirSync(cache, { recursive: true });
    chmodSync(cache, 0o777);
    await mix();
    expect(readdirSync(cache)).toEqual([]);
    rmSync(cache, { recursive: true });
    await mix();
    expect(statSync(cache).mode & 0o777).toBe(0o700);
    for (const path of entries()) expect(statSync(path).mode & 0o077).toBe(0);
  });

  it.skipIf(process.platform === 'win32')(
    'an entry that is a link or a pipe is neither followed nor waited for',
    async () => {
      const first = await mix();
      const path = preparation();
      poison();
      const elsewhere = join(folder, 'elsewhere');
      writeFileSync(elsewhere, readFileSync(path), { mode: 0o600 });
      rmSync(path);
      symlinkSync(elsewhere, path);
      expect(await mix()).toEqual(first);
      rmSync(path);
      expect(spawnSync('mkfifo', [path]).status).toBe(0);
      expect(await mix()).toEqual(first);
    },
  );
});

describe('numbers of another program', () => {
  it('are not believed: the key names version, code and engine', async () => {
    const { findingsCache } = await import('../../../lib/node/cache/findings-cache.ts');
    const { S } = inputs();
    const hashing = { finish: async () => ({ [S]: 'a'.repeat(64) }), verify: () => {} };
    const one = findingsCache(cache);
    one.set(NOISE, 1, [S], { noise: 0.25 });
    const checked = one.checking(hashing);
    await checked.finish({});
    checked.verify();
    vi.resetModules();
    vi.doMock('../../../lib/node/cache/algorithms.ts', () => ({ ALGORITHMS: 'others' }));
    const other = (await import('../../../lib/node/cache/findings-cache.ts')).findingsCache(cache);
    expect(other.get(NOISE, 1, [S])).toBeUndefined();
    vi.doUnmock('../../../lib/node/cache/algorithms.ts');
    vi.resetModules();
    const same = (await import('../../../lib/node/cache/findings-cache.ts')).findingsCache(cache);
    expect(same.get(NOISE, 1, [S])).toEqual({ noise: 0.25 });
  });

  it('the code is told by a hash of the sources that the build puts in', () => {
    const copy = join(folder, 'copy');
    for (const [path, text] of Object.entries({
      'package.json': '{"dependencies":{"a":"1"},"devDependencies":{"mathjs":"1"}}',
      'lib/measure/level.ts': 'one',
      'lib/cli/words.ts': 'words',
    })) {
      mkdirSync(dirname(join(copy, path)), { recursive: true });
      writeFileSync(join(copy, path), text);
    }
    const first = algorithmsOf(copy);
    writeFileSync(join(copy, 'lib/cli/words.ts'), 'other words');
    expect(algorithmsOf(copy)).toBe(first);
    writeFileSync(join(copy, 'lib/measure/level.ts'), 'two');
    const second = algorithmsOf(copy);
    expect(second).not.toBe(first);
    writeFileSync(join(copy, 'package.json'), '{"dependencies":{"a":"1"},"devDependencies":{"mathjs":"2"}}');
    const third = algorithmsOf(copy);
    expect(third).not.toBe(second);
    writeFileSync(join(copy, 'package.json'), '{"dependencies":{"a":"2"},"devDependencies":{"mathjs":"2"}}');
    expect(algorithmsOf(copy)).not.toBe(third);
    mkdirSync(join(copy, 'dist/lib/node/cache'), { recursive: true });
    const built = join(copy, 'dist/lib/node/cache/algorithms.js');
    const source = readFileSync('lib/node/cache/algorithms.ts', 'utf8').replace(': string', '');
    writeFileSync(built, source);
    stampAlgorithms(copy);
    expect(readFileSync(built, 'utf8')).toContain(`'${algorithmsOf(copy)}'`);
    expect(() => stampAlgorithms(copy)).toThrow(/no place/);
  });
});

describe('the folder of the cache', () => {
  it('is where the environment says', async () => {
    const { usualCacheFolder } = await import('../../../lib/node/cache/cache-folder.ts');
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
    const { usualCacheFolder } = await import('../../../lib/node/cache/cache-folder.ts');
    vi.stubEnv('LINEWASH_CACHE', '');
    vi.stubEnv('XDG_CACHE_HOME', '');
    expect(usualCacheFolder()).toBeUndefined();
    vi.doUnmock('node:os');
  });

  it('keeps nothing of files whose hash is not known', async () => {
    const { findingsCache } = await import('../../../lib/node/cache/findings-cache.ts');
    const { S, H } = inputs();
    const one = findingsCache(cache);
    one.set(NOISE, 1, [S, H], { noise: 0.25 });
    const checked = one.checking({ finish: async () => ({ [S]: 'a'.repeat(64) }), verify: () => {} });
    await checked.finish({});
    checked.verify();
    expect(existsSync(cache)).toBe(false);
  });

  it('keeps no numbers that its form cannot hold', async () => {
    const { findingsCache } = await import('../../../lib/node/cache/findings-cache.ts');
    const path = inputs().S;
    const hashing = { finish: async () => ({ [path]: 'a'.repeat(64) }), verify: () => {} };
    const one = findingsCache(cache);
    one.set(NOISE, 1, [path], { noise: Number.NaN });
    one.set(NOISE, 2, [path], { noise: 0.25 });
    const checked = one.checking(hashing);
    await checked.finish({});
    checked.verify();
    const other = findingsCache(cache);
    expect(other.get(NOISE, 1, [path])).toBeUndefined();
    expect(other.get(NOISE, 2, [path])).toEqual({ noise: 0.25 });
    expect(other.get({ ...NOISE, name: 'another' }, 2, [path])).toBeUndefined();
  });
});
