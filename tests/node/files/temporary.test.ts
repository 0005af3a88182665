import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, utimesSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { cutBytes, isTemporary, sweepTemporaries, temporaryFor } from '../../../lib/node/files/temporary.ts';
import { inFolder } from '../batch/scene.ts';

/** A temporary name as another process of this machine would give it. */
const nameOf = (folder: string, pid: number): string =>
  temporaryFor(join(folder, 'a.tif')).replace(/-\d+-([0-9a-f]{12})\.linewash/, `-${pid}-$1.linewash`);

const age = (path: string, hours: number) => utimesSync(path, new Date(), new Date(Date.now() - hours * 3600_000));

/** A process number that was in use a moment ago and is free now. */
const deadPid = (): number => spawnSync('true').pid;

describe('sweepTemporaries', () => {
  it('removes what an ended process left, and only that', () =>
    inFolder(async (folder) => {
      const sleeper = spawn('sleep', ['30']);
      try {
        const dead = nameOf(folder, deadPid());
        const live = nameOf(folder, sleeper.pid!);
        const own = temporaryFor(join(folder, 'b.tif'));
        const others = ['a.tif', '.a.tif.linewash-part', '.hidden', '.x.12345678-1-zz.linewash-part'];
        for (const path of [dead, live, own, ...others.map((name) => join(folder, name))]) writeFileSync(path, 'x');
        expect(await sweepTemporaries(folder)).toEqual([dead]);
        for (const path of [live, own, ...others.map((name) => join(folder, name))])
          expect(existsSync(path)).toBe(true);
      } finally {
        sleeper.kill();
        await once(sleeper, 'exit');
      }
    }));

  it('leaves those of other machines until a day has passed', () =>
    inFolder(async (folder) => {
      const foreign = nameOf(folder, deadPid()).replace(/\.[0-9a-f]{8}-/, '.00000000-');
      writeFileSync(foreign, 'x');
      expect(await sweepTemporaries(folder)).toEqual([]);
      age(foreign, 25);
      expect(await sweepTemporaries(folder)).toEqual([foreign]);
    }));

  it('leaves those of a running process of somebody else', () =>
    inFolder(async (folder) => {
      writeFileSync(nameOf(folder, deadPid()), 'x');
      const kill = vi.spyOn(process, 'kill').mockImplementation(() => {
        throw Object.assign(new Error('not permitted'), { code: 'EPERM' });
      });
      try {
        expect(await sweepTemporaries(folder)).toEqual([]);
      } finally {
        kill.mockRestore();
      }
    }));

  it('does nothing in a folder that is not there', async () => {
    expect(await sweepTemporaries('/no/such/folder')).toEqual([]);
  });

  it('does not follow a folder of that name', () =>
    inFolder(async (folder) => {
      mkdirSync(nameOf(folder, deadPid()));
      expect(await sweepTemporaries(folder)).toEqual([]);
    }));
});

describe('temporaryFor', () => {
  it('stays in the folder, hidden and short enough', () => {
    for (const name of ['a.tif', `${'星'.repeat(83)}.tif`, '-dash.tif', 'a\nb.tif']) {
      const temporary = temporaryFor(join('/x/y', name));
      expect(temporary.startsWith('/x/y/.')).toBe(true);
      expect(isTemporary(basename(temporary))).toBe(true);
      expect(Buffer.byteLength(basename(temporary))).toBeLessThanOrEqual(255);
    }
  });

  it('is known by its whole name', () => {
    const name = basename(temporaryFor('/x/a.tif'));
    expect([name, `x${name}`, `${name}.bak`, name.slice(1)].map(isTemporary)).toEqual([true, false, false, false]);
  });

  it('cuts between characters', () => {
    expect(cutBytes('abc', 3)).toBe('abc');
    expect(cutBytes('a星星', 5)).toBe('a星');
    expect(cutBytes('🌌x', 3)).toBe('');
  });
});
