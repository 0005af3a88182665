import { copyFileSync, mkdirSync, readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { BatchResult } from '../../../lib/node/batch/run.ts';
import { watchBatch } from '../../../lib/node/batch/watch.ts';
import { inFolder, plan, writeTargets } from './scene.ts';

/** What happens between one look and the next, and what each run then makes. */
type Steps = readonly (() => void | Promise<void>)[];

/** Watches a folder while steps are taken, one a pause, and gives what was made after each, by the names of pictures. */
const watched = async (folder: string, steps: Steps, more: Parameters<typeof plan>[0] = {}) => {
  const stop = new AbortController();
  const made: string[][] = steps.map(() => []);
  const troubles: string[] = [];
  let step = -1;
  await watchBatch({
    plan: plan({ recipes: ['hoo'], ...more }),
    folder,
    every: 7,
    parallel: 1,
    signal: stop.signal,
    ran({ pictures }: BatchResult) {
      const some = pictures.filter(({ status }) => status !== 'kept');
      made[step + 1]?.push(...some.map(({ target, status }) => `${target} ${status}`));
    },
    trouble: ({ message }) => troubles.push(message),
    async pause(seconds) {
      expect(seconds).toBe(7);
      step++;
      if (step < steps.length - 1) await steps[step]!();
      else stop.abort();
    },
  });
  return { made, troubles };
};

const nothing = () => {};

describe('watchBatch', () => {
  it('makes what is there, and a target again when a master has changed and stands still', () =>
    inFolder(async (folder) => {
      const at = (name: string) => join(folder, 'masters', name);
      await writeTargets(join(folder, 'masters'), ['Arc', 'Rim']);
      await writeTargets(join(folder, 'other'), ['Arc', 'Rim'], 5);
      const whole = readFileSync(join(folder, 'other/Arc-H.fits'));
      const { made } = await watched(folder, [
        nothing, // the first look knows no earlier one
        nothing,
        () => writeFileSync(at('Arc-H.fits'), whole.subarray(0, 5000)), // being copied: cut, …
        () => writeFileSync(at('Arc-H.fits'), whole.subarray(0, 9000)), // … longer, …
        () => writeFileSync(at('Arc-H.fits'), whole), // … whole
        nothing,
        nothing,
        () => utimesSync(at('Rim-H.fits'), 1e9, 1e9), // touched, the same content: kept
        nothing,
        nothing,
      ]);
      expect(made).toEqual([[], ['Arc made', 'Rim made'], [], [], [], [], ['Arc made'], [], [], []]);
      const note = readFileSync(join(folder, 'out/Arc hoo.tif'), 'latin1');
      const { createHash } = await import('node:crypto');
      expect(note).toContain(createHash('sha256').update(whole).digest('hex'));
    }));

  it('finds new targets, goes on where one cannot be made, and draws the sheet when all stand still', () =>
    inFolder(async (folder) => {
      const masters = join(folder, 'masters');
      const line = (target: string, name: string) => join(masters, `${target}-${name}.fits`);
      await writeTargets(masters, ['Arc']);
      await writeTargets(join(folder, 'other'), ['Fen']);
      mkdirSync(join(folder, 'out'), { recursive: true });
      const take = (name: string) => copyFileSync(join(folder, `other/Fen-${name}.fits`), line('Fen', name));
      const { made, troubles } = await watched(
        folder,
        [nothing, () => take('H'), nothing, nothing, () => take('O'), nothing, nothing, nothing],
        { sheet: { file: 'all.png', size: 32 } },
      );
      // Fen has no O at first: that is told once, and made when O is there.
      expect(made).toEqual([[], ['Arc made'], [], ['Fen failed'], [], [], ['Fen made'], []]);
      expect(troubles).toEqual([]);
      expect(readFileSync(join(folder, 'out/all.png')).subarray(1, 4).toString()).toBe('PNG');
    }));
});
