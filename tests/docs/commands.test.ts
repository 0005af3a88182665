import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, linewash } from '../cli/capture.ts';
import { stepsOf } from './steps.ts';

/** What a shell makes of a star in the last part of a path. */
const asShell = (word: string): string[] => {
  if (!word.includes('*')) return [word];
  const [before, after] = basename(word).split('*') as [string, string];
  const found = readdirSync(dirname(word)).filter((name) => name.startsWith(before) && name.endsWith(after));
  return found.sort().map((name) => join(dirname(word), name));
};

describe.each([
  ['README.md', 6],
  ['docs/tasks.md', 20],
])('the commands of %s', (page, least) => {
  const text = readFileSync(page, 'utf8');

  it('are found', () => {
    expect(stepsOf(text, '').filter(({ kind }) => kind === 'command').length).toBeGreaterThanOrEqual(least);
  });

  it('run as they stand', { timeout: 240_000 }, () =>
    inFolder(async (folder) => {
      const said: string[] = [];
      for (const step of stepsOf(text, folder)) {
        if (step.kind === 'file') {
          writeFileSync(step.path, step.content);
          continue;
        }
        const ran = await linewash(step.words.flatMap(asShell));
        const words = step.words.join(' ');
        expect(ran.code, `${words}\n${ran.err}`).toBe(0);
        said.push(...ran.err.split('\n'));
        if (step.into !== undefined) writeFileSync(step.into, ran.out);
        const written = /(?:-o|--sheet) (\S+)/.exec(words)?.[1];
        if (written !== undefined) expect(existsSync(written), words).toBe(true);
      }
      const notes = text.match(/^linewash: note: .*$/gm) ?? [];
      expect(notes.filter((note) => !said.includes(note))).toEqual([]);
      expect(notes.length).toBe(page === 'docs/tasks.md' ? 1 : 0);
    }),
  );
});

describe('the pictures of docs/tasks.md', () => {
  const names = [...readFileSync('docs/tasks.md', 'utf8').matchAll(/!\[[^\]]+\]\((pictures\/task-[^)]+)\)/g)];

  it('stand one to each task, and take little room', () => {
    const tasks = readFileSync('docs/tasks.md', 'utf8').match(/^## /gm)!.length;
    expect(names.length).toBe(tasks);
    const sizes = names.map(([, name]) => readFileSync(`docs/${name}`).length);
    expect(sizes.reduce((a, b) => a + b)).toBeLessThan(1.5e6);
  });
});
