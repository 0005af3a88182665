import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { licenceTexts, pages } from '../tools/docs-licences.mjs';

const root = fileURLToPath(new URL('../../', import.meta.url));
const read = (name: string) => JSON.parse(readFileSync(`${root}${name}`, 'utf8'));

interface Entry {
  readonly version?: string;
  readonly integrity?: string;
  readonly resolved?: string;
  readonly link?: boolean;
  readonly dev?: boolean;
  readonly hasInstallScript?: boolean;
}

describe('the lockfile', () => {
  const { packages } = read('package-lock.json') as { packages: Record<string, Entry> };
  const entries = Object.entries(packages).filter(([path]) => path !== '');

  it('holds every package by the hash of its content', () => {
    expect(entries.length).toBeGreaterThan(100);
    const bare = entries.filter(([, { integrity }]) => !/^sha512-[A-Za-z0-9+/]{86}==$/.test(integrity ?? ''));
    expect(bare.map(([path]) => path)).toEqual([]);
  });

  it('takes all from the registry: no addresses, links, branches or folders', () => {
    const odd = entries.filter(
      ([, { resolved, link, version }]) => resolved || link || !/^\d+\.\d+\.\d+/.test(version!),
    );
    expect(odd.map(([path]) => path)).toEqual([]);
  });

  it('lets nothing that a user needs run a script when it is installed', () => {
    expect(entries.filter(([, { dev, hasInstallScript }]) => !dev && hasInstallScript)).toEqual([]);
  });

  it('is what package.json asks for', () => {
    const own = read('package.json');
    expect((packages[''] as { dependencies: object }).dependencies).toEqual(own.dependencies);
    expect(Object.values<string>(own.dependencies).filter((range) => !/^\d+\.\d+\.\d+$/.test(range))).toEqual([]);
  });

  it('names no host', () => {
    expect(readFileSync(`${root}package-lock.json`, 'utf8')).not.toMatch(/"resolved"|registry\./);
    expect(existsSync(`${root}.npmrc`)).toBe(false);
  });
});

describe('the licences', () => {
  it('of all that reaches a user are free ones that ask for no more than their text', async () => {
    const [{ content }] = await pages({ root });
    const found = [...content.matchAll(/^\| \S+ \| [\d.]+ \| (.+) \|$/gm)].map(([, licence]) => licence);
    expect(found.length).toBeGreaterThan(15);
    expect([...new Set(found)].sort()).toEqual(['Apache-2.0', 'BSD-3-Clause', 'MIT']);
  });

  it('stand in docs/licences.md as the lockfile has them', async () => {
    const [{ path, content }] = await pages({ root });
    expect(readFileSync(`${root}${path}`, 'utf8')).toBe(content);
  });

  it.skipIf(!existsSync(`${root}dist/playground`))('go with the built page', () => {
    expect(readFileSync(`${root}dist/playground/licences.txt`, 'utf8')).toBe(licenceTexts(root));
  });

  it('cover what the page imports', () => {
    const names = new Set<string>();
    for (const file of readdirSync(`${root}playground`, { recursive: true, encoding: 'utf8' }))
      if (file.endsWith('.ts'))
        for (const [, name] of readFileSync(`${root}playground/${file}`, 'utf8').matchAll(
          /from '((?:@[^/']+\/)?[a-z][^/']*)/g,
        ))
          names.add(name!);
    const listed = readFileSync(`${root}docs/licences.md`, 'utf8');
    expect([...names].filter((name) => !listed.includes(`| ${name} |`))).toEqual([]);
  });
});
