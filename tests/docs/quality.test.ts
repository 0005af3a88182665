import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sourcesBelow } from '../architecture/sources.ts';
import { LARGE, skipTitles } from '../tools/mutation-parts.mjs';

const page = readFileSync('docs/quality.md', 'utf8');
const survivors = page.slice(page.indexOf('### What lives'));
/** Files of `lib/` with the names that follow them: `path.ts`: `one`, `other`. */
const named = [...survivors.matchAll(/`([\w/-]+\.ts)`(?::\s+((?:`\w+`(?:,\s+(?=`\w+`))?)+))?/g)].map(
  ([, file, names]) => ({
    file: `lib/${file}`,
    names: [...(names ?? '').matchAll(/\w+/g)].map(([name]) => name),
  }),
);

describe('docs/quality.md', () => {
  it('names files that are there, and what they hold', () => {
    expect(named.length).toBeGreaterThan(50);
    expect(named.flatMap(({ names }) => names).length).toBeGreaterThan(60);
    const gone = named.flatMap(({ file, names }) => {
      if (!existsSync(file)) return [file];
      const text = readFileSync(file, 'utf8');
      const holds = (name: string) => new RegExp(`\\b(?:const|function) ${name}\\b`).test(text);
      return names.filter((name) => !holds(name)).map((name) => `${file}: ${name}`);
    });
    expect(gone).toEqual([]);
  });

  it('holds no line numbers, which the next change would make wrong', () => {
    expect(page.match(/\.ts`\s*:?\s*\d+/g)).toBeNull();
  });
});

describe('the tests that mutation leaves out', () => {
  it('are skipped however their lines are broken, and no others', () => {
    const text = "it('a (b)', f);\nit(\n  'a (b)',\n  f,\n);\nit('a (b) c', f);\nfit('a (b)', f);";
    expect(skipTitles(text, ['a (b)'])).toBe(
      "it.skip('a (b)', f);\nit.skip(\n  'a (b)',\n  f,\n);\nit('a (b) c', f);\nfit('a (b)', f);",
    );
  });

  it('are there, by title', () => {
    const texts = sourcesBelow('tests').map(({ text }) => text);
    expect(LARGE.length).toBeGreaterThan(3);
    expect(LARGE.filter((title) => !texts.some((text) => skipTitles(text, [title]) !== text))).toEqual([]);
  });
});
