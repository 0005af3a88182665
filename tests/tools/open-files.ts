// No test may leave a file open: Node closes a forgotten handle when it collects garbage, but warns, and one day fails.
import fs from 'node:fs';
import type { FileHandle } from 'node:fs/promises';
import { syncBuiltinESMExports } from 'node:module';
import { afterAll, expect } from 'vitest';

type Open = typeof fs.promises.open & { readonly handles?: Map<FileHandle, string> };

/** The handles that this process has opened, with their paths; files that share the process share them. */
const handlesOf = (): Map<FileHandle, string> => {
  const open: Open = fs.promises.open;
  if (open.handles !== undefined) return open.handles;
  const handles = new Map<FileHandle, string>();
  const watched = async (...words: Parameters<Open>): Promise<FileHandle> => {
    const handle = await open(...words);
    handles.set(handle, String(words[0]));
    return handle;
  };
  fs.promises.open = Object.assign(watched, { handles });
  syncBuiltinESMExports();
  return handles;
};

const handles = handlesOf();

afterAll(() => {
  const left = [...handles].filter(([{ fd }]) => fd !== -1).map(([, path]) => path);
  handles.clear();
  expect(left, 'files that were left open').toEqual([]);
});
