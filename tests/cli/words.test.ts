import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { progressOn } from '../../lib/cli/progress.ts';
import { safeStreams } from '../../lib/cli/streams.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const masters = asWords(SMALL);

describe('a value that an option does not take', () => {
  it.each([
    ['mix', '--bits', '12', /Give 8, 16 or 32/],
    ['mix', '--bits', 'constructor', /Give 8, 16 or 32/],
    ['mix', '--knob', '=1', /NAME=NUMBER/],
    ['mix', '--threads', '0', /Give a whole number from 1 to 64/],
    ['mix', '--threads', '65', /whole number from 1 to 64/],
    ['mix', '--threads', '1.5', /whole number from 1 to 64/],
    ['mix', '--space', 'p4', /Allowed choices are srgb, display-p3, srgb-linear/],
    ['sheet', '--size', '15', /Give a whole number from 16 to 4096/],
    ['sheet', '--size', '4097', /Give a whole number from 16 to 4096/],
    ['sheet', '--size', '60.5', /Give a whole number from 16 to 4096/],
    ['sheet', '--columns', '0', /Give a whole number from 1 to 100/],
    ['sheet', '--columns', '101', /Give a whole number from 1 to 100/],
    ['sheet', '--columns', 'two', /Give a whole number from 1 to 100/],
    ['measure', '--at', 'x3,4', /Give X,Y/],
    ['measure', '--at', '3,4x', /Give X,Y/],
    ['measure', '--at', '-3,4', /Give X,Y/],
    ['measure', '--background', '12', /1, 2, 3, 4 or best/],
    ['measure', '--include', '1,2,0,4', /X,Y,WIDTH,HEIGHT/],
    ['measure', '--include', 'x1,2,3,4', /X,Y,WIDTH,HEIGHT/],
    ['measure', '--exclude', '1,2,3,4x', /X,Y,WIDTH,HEIGHT/],
    ['measure', '--at', '3;4', /Give X,Y/],
    ['hours', '--move', 'S=2h', /Give FROM:TO=HOURS/],
    ['batch', '--memory', '2 G', /Give an amount of memory/],
    ['batch', '--memory', '2GB', /Give an amount of memory/],
    ['batch', '--memory', '-2G', /Give an amount of memory/],
    ['batch', '--memory', '2T', /Give an amount of memory/],
    ['batch', '--memory', 'lots', /Give an amount of memory, for example 2G or 800M/],
    ['batch', '--parallel', '0', /Give a whole number from 1 to 256/],
    ['batch', '--parallel', '257', /Give a whole number from 1 to 256/],
    ['batch', '--parallel', '2.5', /Give a whole number from 1 to 256/],
    ['batch', '--shard', '3', /Give PART\/PARTS/],
    ['batch', '--shard', '1/3x', /Give PART\/PARTS/],
    ['batch', '--shard', 'x1/3', /Give PART\/PARTS/],
    ['batch', '--shard', '4/3', /Give PART\/PARTS/],
    ['batch', '--shard', '0/3', /Give PART\/PARTS/],
  ] as const)('%s %s %s ends in 2, in words, and writes nothing', (verb, option, value, message) =>
    inFolder(async (folder) => {
      const output = join(folder, 'x.png');
      const before: Record<string, string[]> = {
        mix: ['sho', ...masters, '-o', output],
        sheet: ['sho', ...masters, '-o', output],
        measure: masters,
        hours: ['sho', ...masters],
        batch: ['plan.json'],
      };
      const ran = await linewash([verb, ...before[verb]!, option, value]);
      expect(ran.code).toBe(2);
      expect(ran.err).toMatch(message);
      expect(ran.out).toBe('');
      expect(existsSync(output)).toBe(false);
    }),
  );

  it('is a line without a master', async () => {
    const ran = await linewash(['mix', 'sho', '-o', 'x.png']);
    expect([ran.code, ran.err]).toEqual([2, expect.stringMatching(/no masters given/)]);
  });
});

describe('recipe show', () => {
  const shown = async (recipe: object): Promise<string> => {
    let text = '';
    await inFolder(async (folder) => {
      const file = join(folder, 'r.json');
      writeFileSync(file, JSON.stringify(recipe));
      const ran = await linewash(['recipe', 'show', file]);
      expect(ran.code, ran.err).toBe(0);
      text = ran.out;
    });
    return text;
  };

  it('says so of a recipe without a name, a line that is grey, and one that stands alone', async () => {
    const text = await shown({ channels: ['H'], matrix: [[1], [1], [1]] });
    expect(text).toMatch(/A recipe without a name/);
    expect(text).toMatch(/H +#ffffff +1 +1 +1 +grey/);
    expect(text).not.toMatch(/CIEDE2000/);
  });

  it('has a row for each line and each pair, in parts with one empty line between', async () => {
    const text = await shown({
      matrix: [
        [2, 0, -0.0001],
        [0, 1, 0.5],
        [0, 0, 1],
      ],
      knobs: { k: { value: 0.5 } },
      balance: 'as-written',
    });
    expect(text).not.toMatch(/\n\n\n/);
    expect(text.endsWith('\n')).toBe(true);
    const parts = text.trimEnd().split('\n\n');
    expect(parts).toHaveLength(5);
    expect(parts[1]!.split('\n').map((row) => row.split(' ')[0])).toEqual(['line', 'S', 'H', 'O']);
    // Three lines are three pairs, each seen by all and without one kind of cone.
    const pairs = parts[3]!
      .split('\n')
      .slice(1)
      .map((row) => row.split(/ {2,}/));
    expect(pairs[0]).toEqual(['pair', 'all', 'protan', 'deutan', 'tritan', 'ΔEOK']);
    expect(pairs.slice(1).map(([pair]) => pair)).toEqual(['S–H', 'S–O', 'H–O']);
    // What rounds to nothing has no sign; what a screen cannot show says so.
    expect(parts[1]).toMatch(/^O +#[\da-f]{6} +0 +0\.5 +1 /m);
    expect(parts[1]).toMatch(/^S .*outside sRGB, nearest colour shown/m);
    expect(parts[1]).not.toMatch(/^H .*outside sRGB, nearest colour shown/m);
  });

  it('names author, knobs without words and lines that cannot be told apart', async () => {
    const text = await shown({
      name: 'Twins',
      about: 'Both lines alike.',
      by: 'A. Nonymous',
      channels: ['S', 'H'],
      knobs: { share: { value: 0.5 } },
      matrix: [
        [1, 1],
        ['share', 0.5],
        [0, 0],
      ],
    });
    expect(text).toMatch(/Twins \(by A\. Nonymous, [0-9a-z-]+\)\nBoth lines alike\./);
    expect(text).toMatch(/share +0\.5 +0 +1/);
    expect(text).toMatch(/infinite: the lines cannot be recovered from the colours/);
    expect(text).toMatch(/hard to tell apart: S and H \(0\.0\)/);
  });
});

describe('the bar on a terminal', () => {
  const drawn = (interactive: boolean, quiet: boolean) => {
    const said: string[] = [];
    const streams = { out: () => {}, err: (text: string) => said.push(text), interactive, colour: false };
    return { bar: progressOn(safeStreams(streams), quiet), said };
  };

  it('is drawn no more often than a person can read, and removed', () => {
    vi.useFakeTimers({ now: 1e12 });
    const { bar, said } = drawn(true, false);
    bar.show('measure', 0.25);
    bar.show('measure', 0.3);
    vi.advanceTimersByTime(100);
    bar.show('measure', 0.5, '3 of 6');
    bar.show('measure', 1);
    bar.clear();
    bar.clear();
    vi.useRealTimers();
    expect(said).toEqual([
      `\r\x1b[2Kmeasure  ${'━'.repeat(6)}${'─'.repeat(18)}  25 %`,
      `\r\x1b[2Kmeasure  ${'━'.repeat(12)}${'─'.repeat(12)}  50 % 3 of 6`,
      `\r\x1b[2Kmeasure  ${'━'.repeat(24)} 100 %`,
      '\r\x1b[2K',
    ]);
  });

  it.each([
    [false, false],
    [true, true],
  ])('is not drawn elsewhere: terminal %s, quiet %s', (interactive, quiet) => {
    const { bar, said } = drawn(interactive, quiet);
    bar.show('measure', 0.5);
    bar.clear();
    expect(said).toEqual([]);
  });
});
