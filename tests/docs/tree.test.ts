import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const page = readFileSync('DEVELOPERS.md', 'utf8');
const tree = /## The tree\n\n```\n([\s\S]*?)```/.exec(page)![1]!;
const folders = (of: string): string[] =>
  readdirSync(of, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => name);

describe('DEVELOPERS.md', () => {
  it('shows each folder of the library, and none that is not there', () => {
    const shown = tree
      .split('\n')
      .flatMap((line) => (/^ {2}\S/.test(line) ? line.slice(0, 17).match(/[a-z]+(?=\/)/g)! : []));
    expect(shown.sort()).toEqual(folders('lib').sort());
  });

  it('shows folders of the page and the tests that are there', () => {
    for (const [top, line] of [
      ['playground', /^playground\/(.*)$/m],
      ['tests', /^tests\/(.*\n.*)$/m],
    ] as const) {
      const named = [...line.exec(tree)![1]!.matchAll(/\b([a-z]+)\/(?![A-Z{])/g)].map(([, name]) => name!);
      expect(named.length).toBeGreaterThan(2);
      expect(named.filter((name) => !existsSync(`${top}/${name}`))).toEqual([]);
    }
  });

  it('names scripts that package.json has, and all of them', () => {
    const { scripts } = JSON.parse(readFileSync('package.json', 'utf8'));
    const named = new Set([...page.matchAll(/`npm (?:run )?([a-z:]+)/g)].map(([, name]) => name!));
    const known = Object.keys(scripts).filter((name) => name !== 'prepare');
    expect(known.filter((name) => !named.has(name))).toEqual([]);
    expect([...named].filter((name) => !['ci', 'pack', 'install'].includes(name) && !known.includes(name))).toEqual([]);
  });

  it('names files and folders that are there', () => {
    const paths = [...page.matchAll(/`((?:lib|tests|playground|docs|samples)\/[^`*\s]+)`/g)].map(([, path]) => path!);
    expect(paths.length).toBeGreaterThan(8);
    expect(paths.filter((path) => !/NAME|PART/.test(path) && !existsSync(path))).toEqual([]);
  });
});
