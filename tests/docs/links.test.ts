import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';

const pages = [
  'README.md',
  'DEVELOPERS.md',
  'samples/README.md',
  ...readdirSync('docs', { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.md'))
    .map((name) => join('docs', name)),
];

const LINK = /!?\[[^\]]*\]\(([^)\s]+)\)/g;
const withoutCode = (text: string) => text.replace(/```[\s\S]*?```/g, '').replace(/`[^`\n]*`/g, '');
const anchorsOf = (text: string) =>
  [...text.matchAll(/^#+ (.+)$/gm)].map(([, title]) =>
    title!
      .toLowerCase()
      .replace(/[^\p{L}\p{N} _-]/gu, '')
      .replaceAll(' ', '-'),
  );

describe('links in the documents', () => {
  it('are found', () => {
    expect(pages.length).toBeGreaterThan(15);
    expect([...readFileSync('README.md', 'utf8').matchAll(LINK)].length).toBeGreaterThan(5);
  });

  it('leave the README readable: docs/README.md is the index', () => {
    const links = [...readFileSync('README.md', 'utf8').matchAll(/(?<!!)\[[^\]]*\]\(docs\/[^)]+\)/g)];
    expect(links.length).toBeLessThanOrEqual(8);
  });

  it.each(pages)('of %s lead somewhere', (page) => {
    const broken = [...withoutCode(readFileSync(page, 'utf8')).matchAll(LINK)]
      .map(([, target]) => target!)
      .filter((target) => !/^https?:/.test(target))
      .filter((target) => {
        const [path, anchor] = target.split('#');
        const file = path === '' ? page : join(dirname(page), decodeURIComponent(path!));
        if (!existsSync(file)) return true;
        return anchor !== undefined && anchor !== '' && !anchorsOf(readFileSync(file, 'utf8')).includes(anchor);
      });
    expect(broken).toEqual([]);
  });
});
