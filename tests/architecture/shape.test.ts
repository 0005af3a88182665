import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { VERSION } from '../../lib/plane/version.ts';
import { ROOT, sourcesBelow } from './sources.ts';

const lines = (text: string) => text.split('\n').length;

describe('the shape of the source', () => {
  const files = [...sourcesBelow('lib'), ...sourcesBelow('playground')];

  it('keeps files short', () => {
    const sizes = files.map(({ text }) => lines(text)).sort((a, b) => a - b);
    expect(sizes[Math.floor(sizes.length / 2)]).toBeLessThan(120);
    expect(files.filter(({ text }) => lines(text) > 250).map(({ path }) => path)).toEqual([]);
  });

  it('has no grab-bag files', () => {
    expect(
      files.filter(({ path }) => /(utils?|helpers?|manager|misc|common)\b/i.test(path)).map(({ path }) => path),
    ).toEqual([]);
  });

  it('holds nothing that only tests use', () => {
    const users = [...files, ...sourcesBelow('samples')];
    const exported = files
      .filter(({ path }) => path.startsWith('lib/') && !path.includes('/assembly/'))
      .flatMap(({ path, text }) =>
        [...text.matchAll(/^export (?:const|(?:async )?function|class|interface|type) (\w+)/gm)].map(([, name]) => ({
          path,
          name: name!,
        })),
      );
    expect(exported.length).toBeGreaterThan(500);
    const count = (text: string, name: string) => text.match(new RegExp(`\\b${name}\\b`, 'g'))?.length ?? 0;
    const unused = exported.filter(
      ({ path, name }) => !users.some((file) => count(file.text, name) > (file.path === path ? 1 : 0)),
    );
    expect(unused).toEqual([]);
  });

  it('sets no markup from text', () => {
    const found = files.filter(({ text }) =>
      /innerHTML|outerHTML|insertAdjacentHTML|unsafeHTML|unsafeSVG|\beval\(/.test(text),
    );
    expect(found.map(({ path }) => path)).toEqual([]);
  });

  it('carries the version of the package', () => {
    expect(VERSION).toBe(JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')).version);
  });
});
