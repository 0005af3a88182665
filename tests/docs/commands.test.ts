import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { someOf } from '../cases.ts';
import { inFolder, linewash } from '../cli/capture.ts';
import { sectionsOf } from './sections.ts';
import { keepMasters, shrinkDemo } from './small-demo.ts';
import { type Step, stepsOf } from './steps.ts';

/** What a shell makes of a star in the last part of a path. */
const asShell = (word: string): string[] => {
  if (!word.includes('*')) return [word];
  const [before, after] = basename(word).split('*') as [string, string];
  const found = readdirSync(dirname(word)).filter((name) => name.startsWith(before) && name.endsWith(after));
  return found.sort().map((name) => join(dirname(word), name));
};

/** What a page says that linewash notes. */
const notesIn = (text: string): readonly string[] => text.match(/^linewash: note: .*$/gm) ?? [];

/** Runs a command, which must succeed and write what it was told to, and gives the lines of what it says. */
const runs = async (step: Extract<Step, { kind: 'command' }>): Promise<string[]> => {
  const ran = await linewash(step.words.flatMap(asShell));
  const words = step.words.join(' ');
  expect(ran.code, `${words}\n${ran.err}`).toBe(0);
  if (step.into !== undefined) writeFileSync(step.into, ran.out);
  const written = /(?:-o|--sheet) (\S+)/.exec(words)?.[1];
  if (written !== undefined) expect(existsSync(written), words).toBe(true);
  return ran.err.split('\n');
};

const PAGES = [
  ['README.md', 6, 100],
  ['docs/tasks.md', 20, 7],
] as const;

describe.each(someOf(PAGES, 1))('the commands of %s', (page, least, count) => {
  const text = readFileSync(page, 'utf8');

  it('are found', () => {
    expect(stepsOf(text, '').filter(({ kind }) => kind === 'command').length).toBeGreaterThanOrEqual(least);
  });

  it('have the notes that are looked for', () => {
    expect(notesIn(text).length).toBe(page === 'docs/tasks.md' ? 1 : 0);
  });

  // On the demo in small, but for what must say the notes that stand in the page.
  it('run as they stand', { timeout: 240_000 }, () =>
    inFolder(async (folder) => {
      const said: string[] = [];
      const demo = join(folder, 'demo');
      let now: 'shipped' | 'small' = 'shipped';
      let size: Record<'shipped' | 'small', () => void> | undefined;
      const sections = sectionsOf(text, count);
      for (const section of sections)
        for (const step of stepsOf(section, folder)) {
          if (step.kind === 'file') {
            writeFileSync(step.path, step.content);
            continue;
          }
          const needed = notesIn(section).every((note) => said.includes(note)) ? 'small' : 'shipped';
          // Masters that stay as they are need not be measured again.
          if (needed !== now) size?.[needed]();
          now = needed;
          said.push(...(await runs(step)));
          if (size === undefined && existsSync(demo)) {
            const shipped = keepMasters(demo, join(folder, 'shipped'));
            await shrinkDemo(demo);
            size = { shipped, small: keepMasters(demo, join(folder, 'small')) };
            now = 'small';
          }
        }
      expect(notesIn(sections.join('')).filter((note) => !said.includes(note))).toEqual([]);
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
