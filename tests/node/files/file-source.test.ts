import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openFile } from '../../../lib/node/files/file-source.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-source-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const path = join(folder, 'bytes');
const bytes = Buffer.from(Array.from({ length: 400_000 }, (_, i) => (i * 7919) >> 8));
writeFileSync(path, bytes);

describe('a file as a byte source', () => {
  it('gives what lies there, one read after the other in one buffer', async () => {
    const source = await openFile(path);
    const first = await source.read(5, 1000);
    expect(bytes.subarray(5, 1005).equals(first)).toBe(true);
    const second = await source.read(300_000, 100_000);
    expect(bytes.subarray(300_000).equals(second)).toBe(true);
    expect((await source.read(0, 10)).buffer).toBe(second.buffer);
    await source.close();
  });

  it('mixes nothing up where several read at once, nor ever after', async () => {
    const source = await openFile(path);
    const offsets = Array.from({ length: 40 }, (_, i) => i * 9000);
    const found = await Promise.all(offsets.map((offset) => source.read(offset, 40_000)));
    for (const [i, part] of found.entries())
      expect(bytes.subarray(offsets[i]!, offsets[i]! + 40_000).equals(part), `${offsets[i]}`).toBe(true);
    const [a, b] = [await source.read(0, 10), await source.read(10, 10)];
    expect(bytes.subarray(0, 10).equals(a)).toBe(true);
    expect(bytes.subarray(10, 20).equals(b)).toBe(true);
    await source.close();
  });

  it('refuses what lies beyond the end', async () => {
    const source = await openFile(path, 'as.named');
    await expect(source.read(399_999, 2)).rejects.toMatchObject({ tag: 'format', file: 'as.named' });
    await source.close();
  });
});
