import { type ChildProcess, spawn } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/parts/index.ts';
import { inTurn, someOf } from '../cases.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { compileInto } from '../torture/compile.mjs';

// Whole processes that must end, whatever happens to them. One that does not is killed after this long, and found out.
const TIME = 120_000;
const root = mkdtempSync(join(tmpdir(), 'linewash-ending-'));
const main = join(root, 'compiled', 'main.js');
const hook = (name: string) => fileURLToPath(new URL(`../torture/${name}.mjs`, import.meta.url));
const [H, O] = [join(root, 'H.fits'), join(root, 'O.fits')];
const [SMALL_H, SMALL_O] = [join(root, 'small-H.fits'), join(root, 'small-O.fits')];
/** Large enough for threads; and for what ends in the same way whether or not there are some. */
const [LARGE, SMALL] = [
  { width: 1280, height: 840 },
  { width: 160, height: 105 },
];

const writeMaster = async (path: string, seed: number, { width, height } = LARGE): Promise<void> => {
  const sink = memorySink();
  const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
  const next = randomNumbers(seed);
  await writer.writeRows(Float32Array.from({ length: width * height }, () => 0.1 + 0.01 * next()));
  await writer.finish();
  writeFileSync(path, sink.bytes());
};

beforeAll(async () => {
  await compileInto(join(root, 'compiled'));
  await writeMaster(H, 1);
  await writeMaster(O, 2);
  await writeMaster(SMALL_H, 3, SMALL);
  await writeMaster(SMALL_O, 4, SMALL);
}, TIME);
afterAll(() => rmSync(root, { recursive: true, force: true }));

interface Ended {
  readonly code: number | null;
  readonly signal: string | null;
  readonly out: string;
  readonly err: string;
}

interface Manner {
  readonly env?: Record<string, string>;
  /** Loaded before linewash. */
  readonly before?: string;
  /** A line of a shell, in which `"$@"` is the command. */
  readonly shell?: string;
  readonly meanwhile?: (child: ChildProcess) => void;
}

/** Runs a command line as a process of its own, in a folder of its own. */
const linewash = (folder: string, words: readonly string[], { env = {}, before, shell, meanwhile }: Manner = {}) => {
  const line = [process.execPath, ...(before ? ['--import', hook(before)] : []), main, ...words];
  const all = shell === undefined ? line : ['sh', '-c', shell, 'sh', ...line];
  const child = spawn(all[0]!, all.slice(1), {
    cwd: folder,
    env: { ...process.env, LINEWASH_CACHE: 'off', ...env },
    timeout: TIME / 2,
    killSignal: 'SIGKILL',
  });
  const said = { out: '', err: '' };
  child.stdout.on('data', (text) => {
    said.out += text;
  });
  child.stderr.on('data', (text) => {
    said.err += text;
  });
  meanwhile?.(child);
  return new Promise<Ended>((resolve) =>
    // Not as soon as it has ended: what it said last may still be on its way.
    child.on('close', (code, signal) => resolve({ code, signal, ...said })),
  );
};

let folders = 0;
const folderFor = (): string => {
  const folder = join(root, `case-${folders++}`);
  mkdirSync(folder);
  return folder;
};

const STACK = /\n\s+at |node:internal|defect/;
const parts = (folder: string) => readdirSync(folder).filter((name) => name.endsWith('.linewash-part'));
const mixOf = (master: string, ...words: string[]) => [
  'mix',
  'hoo',
  `H=${master}`,
  `O=${master === SMALL_H ? SMALL_O : O}`,
  '-o',
  'hoo.tif',
  ...words,
];

describe('a master that shrinks or vanishes while it is read', () => {
  const cases = [
    [1, '1000000', []],
    [9, 'gone', []],
    [22, '1000000', []],
    [30, '1000000', []],
    [30, '1000000', ['--threads', '1']],
    [46, 'gone', []],
    [60, '1000000', []],
  ] as const;

  it.each(someOf(cases, 2))('ends the mix: at read %i, left %s %j', { timeout: TIME }, async (nth, left, words) => {
    const folder = folderFor();
    const master = join(folder, 'cut.fits');
    copyFileSync(H, master);
    const env = { LINEWASH_SHRINK: `${master}@${nth}@${left}` };
    const { code, signal, err } = await linewash(folder, mixOf(master, ...words), { env, before: 'shrinking' });
    expect(signal).toBeNull();
    // Fewer reads than that: nothing happened to it.
    if (code !== 0) {
      expect(code, err).toBe(2);
      expect(err).toContain('cut.fits');
    }
    expect(err).not.toMatch(STACK);
    expect(existsSync(join(folder, 'hoo.tif'))).toBe(code === 0);
    expect(parts(folder)).toEqual([]);
  });

  it.skipIf(!inTurn('a batch'))(
    'fails its picture of a batch, and the others are made',
    { timeout: TIME },
    async () => {
      const folder = folderFor();
      const master = join(folder, 'cut.fits');
      copyFileSync(H, master);
      const targets = ['Arc', 'Rim'].map((name) => ({ name, masters: { H: name === 'Arc' ? master : H, O } }));
      const plan = JSON.stringify({ targets, recipes: ['hoo'], outputs: ['{target}.tif'], sheet: null });
      for (const parallel of someOf(['1', '2'], 1)) {
        copyFileSync(H, master);
        rmSync(`${master}.reads`, { force: true });
        const env = { LINEWASH_SHRINK: `${master}@30@1000000` };
        const words = ['batch', plan, '--parallel', parallel, '--force'];
        const { code, err } = await linewash(folder, words, { env, before: 'shrinking' });
        expect(code, err).toBe(1);
        expect(readdirSync(folder).filter((name) => name.endsWith('.tif'))).toEqual(['Rim.tif']);
        expect(parts(folder)).toEqual([]);
        rmSync(join(folder, 'Rim.tif'));
      }
    },
  );
});

describe('signals to a process that is stuck', () => {
  const sends = (first: NodeJS.Signals, second?: NodeJS.Signals) => (child: ChildProcess) => {
    // The second once the first has been heard: a process that has no listener left ends by it.
    const sent: Record<'stuck' | 'heard', NodeJS.Signals | undefined> = { stuck: first, heard: second };
    child.stderr!.on('data', (text) => {
      for (const word of ['stuck', 'heard'] as const)
        if (sent[word] !== undefined && String(text).includes(word)) {
          child.kill(sent[word]);
          sent[word] = undefined;
        }
    });
  };

  it.each([
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ] as const)('%s ends it', { timeout: TIME }, async (signal, code) => {
    const ended = await linewash(folderFor(), mixOf(SMALL_H), { before: 'stuck', meanwhile: sends(signal) });
    expect([ended.code, ended.signal]).toEqual([code, null]);
  });

  const TWICE = [
    ['SIGINT', 'SIGINT'],
    ['SIGTERM', 'SIGINT'],
    ['SIGINT', 'SIGTERM'],
  ] as const;
  it.each(someOf(TWICE, 1))('a second one ends it by itself: %s, %s', { timeout: TIME }, async (first, second) => {
    const ended = await linewash(folderFor(), mixOf(SMALL_H), { before: 'stuck', meanwhile: sends(first, second) });
    expect([ended.code, ended.signal]).toEqual([null, second]);
  });
});

describe('streams that are closed or full', () => {
  const plan = () =>
    JSON.stringify({
      targets: ['Arc', 'Rim', 'Bow'].map((name) => ({ name, masters: { H: SMALL_H, O: SMALL_O } })),
      recipes: ['hoo'],
      outputs: ['{target}.tif', '{target}.png'],
      defaults: { size: 64 },
      sheet: null,
    });

  const WAYS = [
    ['both, after the first line', '"$@" 2>&1 | head -1'],
    ['both, at once', '"$@" 2>&1 | true'],
    ['the messages', '{ "$@" 2>&1 >&3 | true; } 3>&1'],
    ['results and messages that never were open', '"$@" >&- 2>&-'],
  ] as const;
  it.each(someOf(WAYS, 1))('stop no batch: %s', { timeout: TIME }, async (_, shell) => {
    const folder = folderFor();
    await linewash(folder, ['batch', plan(), '--json'], { shell });
    expect(readdirSync(folder).sort()).toEqual(['Arc.png', 'Arc.tif', 'Bow.png', 'Bow.tif', 'Rim.png', 'Rim.tif']);
  });

  it.skipIf(!existsSync('/dev/full'))('are told in one sentence where they are full', { timeout: TIME }, async () => {
    const folder = folderFor();
    const { code, err } = await linewash(folder, mixOf(SMALL_H), { shell: '"$@" > /dev/full' });
    expect(code).toBe(1);
    expect(err).toBe('linewash: standard output cannot be written: the disk is full\n');
    const silent = await linewash(folder, ['recipe', 'check', '{}'], { shell: '"$@" 2> /dev/full' });
    expect(silent.code).toBe(2);
    const batch = await linewash(folder, ['batch', plan(), '--json'], { shell: '"$@" > /dev/full' });
    expect([batch.code, STACK.test(batch.err)]).toEqual([1, false]);
    expect(readdirSync(folder)).toHaveLength(7);
  });
});

describe('a system that gives too little', () => {
  it.skipIf(process.platform === 'win32').each(someOf([20, 26, 33], 1))(
    'is told in words: %i files open at a time',
    { timeout: TIME },
    async (most) => {
      const folder = folderFor();
      const { code, signal, err } = await linewash(folder, mixOf(H), { shell: `ulimit -n ${most}; exec "$@"` });
      expect(signal).toBeNull();
      expect(err).not.toMatch(STACK);
      if (code !== 0) expect(err).toMatch(/too many files are open/);
      expect(existsSync(join(folder, 'hoo.tif'))).toBe(code === 0);
    },
  );

  it.skipIf(!existsSync('/proc/self'))('has folders that cannot be made', { timeout: TIME }, async () => {
    const folder = folderFor();
    const kept = await linewash(folder, mixOf(SMALL_H), { env: { LINEWASH_CACHE: '/proc/no/such' } });
    expect([kept.code, kept.err]).toEqual([0, '']);
    const plan = {
      targets: [{ name: 'Rim', masters: { H: SMALL_H, O: SMALL_O } }],
      recipes: ['hoo'],
      into: '/proc/no',
      outputs: ['a.tif'],
    };
    const batch = await linewash(folder, ['batch', JSON.stringify(plan)]);
    expect([batch.code, batch.signal]).toEqual([1, null]);
  });
});
