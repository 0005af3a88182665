import { existsSync, mkdirSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeFolders } from '../../../lib/node/files/make-folder.ts';
import { inFolder } from '../batch/scene.ts';

describe('makeFolders', () => {
  it('makes what is missing, and says what it made first', () =>
    inFolder(async (folder) => {
      expect(makeFolders(join(folder, 'a', 'b', 'c'), 0o700)).toBe(join(folder, 'a'));
      expect(statSync(join(folder, 'a', 'b', 'c')).isDirectory()).toBe(true);
      if (process.platform !== 'win32') expect(statSync(join(folder, 'a')).mode & 0o777).toBe(0o700);
      expect(makeFolders(join(folder, 'a', 'd'))).toBe(join(folder, 'a', 'd'));
      expect(makeFolders(join(folder, 'a', 'd'))).toBeUndefined();
    }));

  it('takes a link to a folder for a folder', () =>
    inFolder(async (folder) => {
      mkdirSync(join(folder, 'real'));
      symlinkSync(join(folder, 'real'), join(folder, 'link'));
      expect(makeFolders(join(folder, 'link'))).toBeUndefined();
      expect(makeFolders(join(folder, 'link', 'below'))).toBe(join(folder, 'link', 'below'));
    }));

  it('fails where something else is in the way', () =>
    inFolder(async (folder) => {
      writeFileSync(join(folder, 'file'), '');
      symlinkSync(join(folder, 'nowhere'), join(folder, 'link'));
      for (const path of ['file', 'file/below', 'file/far/below', 'link', 'link/below'])
        expect(() => makeFolders(join(folder, path)), path).toThrow(expect.objectContaining({ syscall: 'mkdir' }));
    }));

  it.skipIf(!existsSync('/proc/self'))('ends where the file system denies what was made a moment ago', () => {
    for (const path of ['/proc/no', '/proc/no/such', '/proc/no/such/folder'])
      expect(() => makeFolders(path), path).toThrow(expect.objectContaining({ code: 'ENOENT' }));
  });
});
