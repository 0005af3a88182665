import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sourcesBelow } from '../architecture/sources.ts';

const terms = [...readFileSync('docs/glossary.md', 'utf8').matchAll(/^\*\*(.+?)\*\*: (.+)/gm)].map(
  ([, term, meaning]) => ({ term: term!, meaning: meaning! }),
);

/** All documents but the glossary, and all sources, with blanks in place of line ends. */
const everything = [
  ...readdirSync('docs', { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.md') && name !== 'glossary.md' && name !== 'changelog.md')
    .map((name) => readFileSync(join('docs', name), 'utf8')),
  readFileSync('README.md', 'utf8'),
  readFileSync('DEVELOPERS.md', 'utf8'),
  ...[...sourcesBelow('lib'), ...sourcesBelow('playground')].map(({ text }) => text),
]
  .join('\n')
  .replace(/\s+(?:\*|\/\/)?\s*/g, ' ')
  .toLowerCase();

const occurs = (term: string) => new RegExp(`\\b${term.toLowerCase()}s?\\b`).test(everything);

describe('the glossary', () => {
  it('holds each term once, in the order of the alphabet', () => {
    expect(terms.length).toBeGreaterThan(50);
    const names = terms.map(({ term }) => term.toLowerCase());
    expect(names).toEqual([...new Set(names)].sort((a, b) => a.localeCompare(b, 'en')));
  });

  it('explains only terms that documents or code use', () => {
    expect(occurs('no such term')).toBe(false);
    expect(terms.map(({ term }) => term).filter((term) => !occurs(term))).toEqual([]);
  });

  it('is linked from the index and from the page for developers', () => {
    for (const page of ['docs/README.md', 'DEVELOPERS.md'])
      expect(readFileSync(page, 'utf8')).toMatch(/\]\((?:docs\/)?glossary\.md\)/);
  });
});
