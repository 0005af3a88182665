import { closeSync, ftruncateSync, openSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { inFolder } from './capture.ts';

const startEarly = vi.fn();
let processors = 2;
vi.mock('../../lib/node/threads/pool-thread.ts', () => ({ startEarly: () => startEarly() }));
vi.mock('node:os', async (original) => ({
  ...(await original<typeof import('node:os')>()),
  availableParallelism: () => processors,
}));
const { prepareThreads } = await import('../../lib/cli/early.ts');

/** How often a thread is started for a command with a master of so many bytes. */
const started = async (bytes: number, words: (file: string) => string[]) => {
  await inFolder(async (folder) => {
    const file = join(folder, 'H.fits');
    const handle = openSync(file, 'w');
    ftruncateSync(handle, bytes);
    closeSync(handle);
    prepareThreads(words(file));
  });
  return startEarly.mock.calls.length;
};

const MiB = 2 ** 20;

describe('a second thread', () => {
  beforeEach(() => {
    startEarly.mockReset();
    processors = 2;
  });

  it.each(['mix', 'sheet', 'measure', 'suggest', 'hours'])('is started at once, and once, for %s', async (verb) =>
    expect(await started(8 * MiB, (file) => [verb, 'hoo', `H=${file}`, `O=${file}`])).toBe(1),
  );

  it('is started for a master given without its line, too', async () =>
    expect(await started(8 * MiB, (file) => ['measure', file])).toBe(1));

  it.each<[string, number, (file: string) => string[]]>([
    ['where masters are small', MiB, (file) => ['mix', 'hoo', `H=${file}`]],
    ['for a verb that has threads of its own', 8 * MiB, (file) => ['batch', file]],
    ['without a verb', 8 * MiB, (file) => [file]],
    ['where the number of threads is given', 8 * MiB, (file) => ['mix', `H=${file}`, '--threads', '1']],
    ['where it is given in one word', 8 * MiB, (file) => ['mix', `H=${file}`, '--threads=4']],
    ['where the file is not there', 8 * MiB, (file) => ['mix', `H=${file}x`]],
    ['for nothing', 8 * MiB, () => []],
  ])('is not started %s', async (_, bytes, words) => expect(await started(bytes, words)).toBe(0));

  it('is not started where there is one processor', async () => {
    processors = 1;
    expect(await started(8 * MiB, (file) => ['mix', `H=${file}`])).toBe(0);
  });
});
