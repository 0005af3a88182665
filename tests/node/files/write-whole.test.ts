import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeContent, writeWhole } from '../../../lib/node/files/write-whole.ts';
import { inFolder } from '../batch/scene.ts';

const some = Uint8Array.of(1, 2, 3);

describe('writeWhole', () => {
  it('gives what filling gives, and the file', () =>
    inFolder(async (folder) => {
      const count = await writeWhole(join(folder, 'a.bin'), false, async (sink) => {
        await sink.writeAt(0, some);
        return 3;
      });
      expect(count).toBe(3);
      expect([...readFileSync(join(folder, 'a.bin'))]).toEqual([1, 2, 3]);
    }));

  it.each([true, false])('leaves the folder as it was where filling fails, replacing: %s', (replace) =>
    inFolder(async (folder) => {
      const path = join(folder, 'a.bin');
      if (replace) writeFileSync(path, 'before');
      const filled = writeWhole(path, replace, async (sink) => {
        await sink.writeAt(0, some);
        throw new Error('half way');
      });
      await expect(filled).rejects.toThrow('half way');
      expect(readdirSync(folder)).toEqual(replace ? ['a.bin'] : []);
      if (replace) expect(readFileSync(path, 'utf8')).toBe('before');
    }),
  );
});

describe('writeContent', () => {
  it('writes texts in UTF-8, and bytes as they are', () =>
    inFolder(async (folder) => {
      await writeContent(join(folder, 'a.txt'), false, 'Hβ\n');
      await writeContent(join(folder, 'b.bin'), false, some);
      expect(readFileSync(join(folder, 'a.txt')).toString('hex')).toBe('48ceb20a');
      expect([...readFileSync(join(folder, 'b.bin'))]).toEqual([1, 2, 3]);
    }));

  it('replaces nothing unasked', () =>
    inFolder(async (folder) => {
      const path = join(folder, 'a.txt');
      writeFileSync(path, 'theirs');
      await expect(writeContent(path, false, 'ours')).rejects.toThrow('exists already');
      expect(readFileSync(path, 'utf8')).toBe('theirs');
      await writeContent(path, true, 'ours');
      expect(readFileSync(path, 'utf8')).toBe('ours');
      expect(readdirSync(folder)).toEqual(['a.txt']);
    }));
});
