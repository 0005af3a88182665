import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fileSink, makeFolder } from '../../../lib/node/files/file-sink.ts';
import { fillSink } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { inFolder } from '../batch/scene.ts';
import { CALLS, type Call, failingSystem, sparingSystem } from './failing-system.ts';

const bytes = Uint8Array.from({ length: 1000 }, (_, i) => i % 251);

/** Writes a file in ten pieces; returns what was thrown. */
const write = async (path: string, replace: boolean, system = failingSystem('open', 0, '').system) => {
  try {
    await fillSink(await fileSink(path, replace, system), async (sink) => {
      for (let at = 0; at < 1000; at += 100) await sink.writeAt(at, bytes.subarray(at, at + 100));
    });
    return undefined;
  } catch (cause) {
    return cause;
  }
};

describe('fileSink', () => {
  it('shows nothing before it is closed, and leaves nothing but the file', () =>
    inFolder(async (folder) => {
      const path = join(folder, 'a.tif');
      const sink = await fileSink(path, false);
      await sink.writeAt(0, bytes);
      expect(existsSync(path)).toBe(false);
      await sink.close();
      expect(readdirSync(folder)).toEqual(['a.tif']);
      expect(readFileSync(path).equals(bytes)).toBe(true);
    }));

  it('leaves nothing where it is aborted', () =>
    inFolder(async (folder) => {
      const sink = await fileSink(join(folder, 'a.tif'), false);
      await sink.writeAt(0, bytes);
      await sink.abort();
      await sink.abort();
      expect(readdirSync(folder)).toEqual([]);
    }));

  it('keeps a file that came meanwhile', () =>
    inFolder(async (folder) => {
      const path = join(folder, 'a.tif');
      const sink = await fileSink(path, false);
      await sink.writeAt(0, bytes);
      writeFileSync(path, 'theirs');
      await expect(sink.close()).rejects.toThrow(/exists already/);
      expect(readdirSync(folder)).toEqual(['a.tif']);
      expect(readFileSync(path, 'utf8')).toBe('theirs');
    }));

  it('writes all bytes however few the system takes at a time', () =>
    inFolder(async (folder) => {
      const path = join(folder, 'a.tif');
      expect(await write(path, false, sparingSystem(7))).toBeUndefined();
      expect(readFileSync(path).equals(bytes)).toBe(true);
    }));

  it.each([
    ['closed', { close: 2, sync: 1, 'sync folder': 1, 'open folder': 1 }],
    ['aborted', { close: 1, unlink: 2 }],
    ['closed and aborted', { close: 2, sync: 1, 'sync folder': 1 }],
  ] as const)('lets go of its file once, and syncs, when %s', (end, calls) =>
    inFolder(async (folder) => {
      const { system, counts } = failingSystem('open', 0, '');
      const sink = await fileSink(join(folder, 'a.tif'), true, system);
      await sink.writeAt(0, bytes);
      if (end !== 'aborted') await sink.close();
      // Whoever is unsure whether it was done does it again.
      if (end !== 'closed') for (let i = 0; i < 2; i++) await sink.abort();
      expect(Object.fromEntries(counts)).toMatchObject({ open: 1, ...calls });
    }),
  );

  it('gives up where the system takes nothing at all', () =>
    inFolder(async (folder) => {
      const thrown = await write(join(folder, 'a.tif'), false, sparingSystem(0));
      expect(thrown).toBeInstanceOf(LinewashError);
      expect(String(thrown)).toMatch(/a\.tif.*the system wrote nothing|cannot be written/);
      expect(readdirSync(folder)).toEqual([]);
    }));

  it('takes an error without a code for what it is', () =>
    inFolder(async (folder) => {
      const { system } = failingSystem('open', 0, '');
      const link = () => Promise.reject(new Error('out of order'));
      const thrown = await write(join(folder, 'a.tif'), false, { ...system, link });
      expect(thrown).toBeInstanceOf(LinewashError);
      expect(readdirSync(folder)).toEqual([]);
    }));

  it('takes names of any length that the system takes', () =>
    inFolder(async (folder) => {
      for (const name of [`${'x'.repeat(251)}.tif`, `${'星'.repeat(83)}.tif`]) {
        expect(await write(join(folder, name), false)).toBeUndefined();
        expect(existsSync(join(folder, name))).toBe(true);
      }
    }));

  const codes = ['ENOSPC', 'EIO', 'EACCES', 'EROFS', 'EMFILE'];
  const places: [Call, number][] = CALLS.flatMap((call) =>
    Array.from({ length: call === 'write' ? 10 : 1 }, (_, i): [Call, number] => [call, i + 1]),
  );
  const cases = codes.flatMap((code) => places.map(([call, nth]) => [code, nth, call] as const));

  it.each(cases)('survives %s at call %d of %s', (code, nth, call) =>
    inFolder(async (folder) => {
      for (const replace of [false, true]) {
        const path = join(folder, `${replace}.tif`);
        if (replace) writeFileSync(path, 'before');
        const { system, counts } = failingSystem(call, nth, code);
        const thrown = await write(path, replace, system);
        const leftover = readdirSync(folder).filter((name) => name.endsWith('-part'));
        const whole = existsSync(path) && readFileSync(path).equals(bytes);
        if (thrown === undefined) expect(whole).toBe(true);
        else {
          expect(thrown).toBeInstanceOf(LinewashError);
          expect((thrown as LinewashError).file).toBe(path);
          expect((thrown as LinewashError).message).not.toMatch(/E[A-Z]{3,}/);
          if (replace) expect(readFileSync(path, 'utf8')).toBe('before');
          else expect(existsSync(path)).toBe(false);
        }
        // Only where the removal itself is refused may a temporary file stay, for the next batch to sweep.
        if (call !== 'unlink') expect(leftover).toEqual([]);
        const must = ['open', 'write', 'sync', 'close', replace ? 'rename' : 'link'].includes(call);
        if (must && counts.get(call)! >= nth) expect(thrown).toBeDefined();
      }
    }),
  );

  it('falls back to renaming where there are no hard links', () =>
    inFolder(async (folder) => {
      const path = join(folder, 'a.tif');
      expect(await write(path, false, failingSystem('link', 1, 'EPERM').system)).toBeUndefined();
      expect(readdirSync(folder)).toEqual(['a.tif']);
    }));
});

describe('makeFolder', () => {
  it('makes all folders above, and takes those that are there', () =>
    inFolder(async (folder) => {
      await makeFolder(join(folder, 'a/b/c'));
      await makeFolder(join(folder, 'a/b'));
      expect(existsSync(join(folder, 'a/b/c'))).toBe(true);
    }));
  it('says why it cannot', () =>
    inFolder(async (folder) => {
      mkdirSync(join(folder, 'x'));
      writeFileSync(join(folder, 'x/file'), '');
      await expect(makeFolder(join(folder, 'x/file/y'))).rejects.toThrow(/cannot be made/);
    }));
});
