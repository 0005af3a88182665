import { link, open, rename, unlink } from 'node:fs/promises';
import type { SinkSystem } from '../../../lib/node/files/file-sink.ts';

export const CALLS = [
  'open',
  'write',
  'sync',
  'close',
  'link',
  'rename',
  'unlink',
  'open folder',
  'sync folder',
] as const;
export type Call = (typeof CALLS)[number];

/** The real file system, in which the n-th call of one kind (from 1) fails with a code. */
export const failingSystem = (call: Call, nth: number, code: string) => {
  const counts = new Map<Call, number>();
  const pass = (name: Call): void => {
    counts.set(name, (counts.get(name) ?? 0) + 1);
    if (name === call && counts.get(name) === nth) throw Object.assign(new Error(code), { code });
  };
  const system: SinkSystem = {
    async open(path, flags) {
      const folder = flags === 'r';
      pass(folder ? 'open folder' : 'open');
      const handle = await open(path, flags);
      return {
        write: (async (bytes: Uint8Array, offset: number, length: number, position: number) => {
          pass('write');
          return handle.write(bytes, offset, length, position);
        }) as typeof handle.write,
        async sync() {
          pass(folder ? 'sync folder' : 'sync');
          await handle.sync();
        },
        async close() {
          await handle.close();
          pass('close');
        },
      };
    },
    async link(from, to) {
      pass('link');
      await link(from, to);
    },
    async rename(from, to) {
      pass('rename');
      await rename(from, to);
    },
    async unlink(path) {
      pass('unlink');
      await unlink(path);
    },
  };
  return { system, counts };
};

/** The real file system, which writes at most so many bytes at a time. */
export const sparingSystem = (most: number): SinkSystem => {
  const { system } = failingSystem('open', 0, '');
  return {
    ...system,
    async open(path, flags) {
      const handle = await system.open(path, flags);
      const write = handle.write as (...words: unknown[]) => Promise<unknown>;
      return {
        ...handle,
        write: ((bytes: Uint8Array, offset: number, length: number, position: number) =>
          write(bytes, offset, Math.min(most, length), position)) as typeof handle.write,
      };
    },
  };
};
