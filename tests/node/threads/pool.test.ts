import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { beginHashing, UNKNOWN_HASH } from '../../../lib/node/files/input-hashes.ts';
import { type Pool, withPool } from '../../../lib/node/threads/pool.ts';
import { comeIn, sharedNumbers, shutOut } from '../../../lib/node/threads/pool-job.ts';
import { lonePool } from './lone-pool.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-pool-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const write = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
const pool = await lonePool();
const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

describe('helpers of a job', () => {
  it('are awaited once they are inside, and need not come once they are shut out', () => {
    const shared = sharedNumbers(3);
    expect(comeIn(shared, 1)).toBe(true);
    expect(shutOut(shared, 1)).toBe(false);
    expect(shutOut(shared, 2)).toBe(true);
    expect(comeIn(shared, 2)).toBe(false);
    expect(comeIn(shared, 0)).toBe(true);
  });
});

describe('hashes of inputs', () => {
  it('are those of the files, and are not computed twice in one process', async () => {
    const paths = [write('a', 'first'), write('b', 'second')];
    const hashing = beginHashing([...paths, paths[0]!], pool);
    const hashes = await hashing.finish({});
    expect(hashes).toEqual({ [paths[0]!]: sha256('first'), [paths[1]!]: sha256('second') });
    expect(hashes[paths[0]!]!.length).toBe(UNKNOWN_HASH.length);
    hashing.verify();
    const again = beginHashing(paths, {
      ...pool,
      begin: (job, pixels) => {
        expect(job.hashes).toEqual([]);
        return pool.begin(job, pixels);
      },
    });
    expect(await again.finish({})).toEqual(hashes);
  });

  it('are refused, and not remembered, where a file became another meanwhile', async () => {
    const path = write('c', 'before');
    const hashing = beginHashing([path], pool);
    write('c', 'after that');
    await hashing.finish({});
    expect(() => hashing.verify()).toThrow(
      expect.objectContaining({ message: 'changed while it was read', file: path }),
    );
    const fresh = beginHashing([path], pool);
    expect(await fresh.finish({})).toEqual({ [path]: sha256('after that') });
  });

  it('say which file is gone', async () => {
    const path = write('d', 'soon gone');
    const hashing = beginHashing([path], pool);
    rmSync(path);
    await expect(hashing.finish({})).rejects.toMatchObject({ tag: 'input', file: path });
    expect(() => beginHashing([path], pool)).toThrow(expect.objectContaining({ tag: 'input', file: path }));
  });
});

describe('this thread', () => {
  it('does jobs one after another, and stops all of them when cancelled', async () => {
    const paths = [write('e', 'e'), write('f', 'f')];
    const both = paths.map((path) => pool.do({ hashes: [path] }, 1));
    expect((await Promise.all(both)).map(({ hashes }) => Object.values(hashes))).toEqual([
      [sha256('e')],
      [sha256('f')],
    ]);
    const cancelled = AbortSignal.abort();
    await expect(pool.do({ hashes: paths }, 1, { signal: cancelled })).rejects.toMatchObject({ tag: 'cancelled' });
    await expect(pool.begin({ hashes: paths }, 1).finish({ signal: cancelled })).rejects.toMatchObject({
      tag: 'cancelled',
    });
  });
});

describe('a pool whose work has ended', () => {
  const leaked = async (fails: boolean): Promise<Pool> => {
    let mine: Pool | undefined;
    await withPool(2, async (pool) => {
      mine = pool;
      if (fails) throw new Error('the work failed');
    }).catch(() => {});
    return mine!;
  };

  it.each([false, true])('begins nothing more, whether the work failed or not (%s)', async (fails) => {
    const late = await leaked(fails);
    expect(() => late.begin({ hashes: [write('g', 'g')] }, 1 << 30)).toThrow(
      expect.objectContaining({ tag: 'cancelled' }),
    );
    await expect(late.do({ hashes: [write('g', 'g')] }, 1 << 30)).rejects.toMatchObject({ tag: 'cancelled' });
  });

  it('stops what the work left behind, and takes no half of it for the whole', async () => {
    const paths = Array.from({ length: 40 }, (_, i) => write(`many-${i}`, `${i}`.repeat(400_000)));
    let left: Promise<unknown> | undefined;
    await withPool(1, async (pool) => {
      left = pool.do({ hashes: paths }, 1);
      left.catch(() => {});
    });
    await expect(left).rejects.toMatchObject({ tag: 'cancelled' });
  });
});
