import { describe, expect, it } from 'vitest';
import { cyclesOf, graphOf } from './graph.ts';
import { type SourceFile, sourcesBelow, target } from './sources.ts';

/** The journey of a pixel: a folder imports only from folders before it. */
const ORDER = [
  'plane',
  'formats',
  'measure',
  'prepare',
  'smooth',
  'stars',
  'check',
  'stretch',
  'mix',
  'colour',
  'finish',
  'faint',
  'recipe',
  'palettes',
  'tally',
  'hours',
  'render',
  'work',
  'node',
  'web',
  'cli',
];
/** Stages know nothing of each other; what they share lies in plane/. */
const STAGES = ['formats', 'measure', 'prepare', 'smooth', 'stars', 'check', 'stretch', 'mix', 'colour'];

/** Each npm package stands behind the files named here. */
const PACKAGES: Readonly<Record<string, RegExp>> = {
  '@noble/hashes': /^lib\/recipe\/written\/sha256\.ts$/,
  mathjs: /^lib\/mix\/expression/,
  valibot: /^lib\/(recipe\/written|hours\/plan|tally|node\/(batch|cache))\//,
  'jsonc-parser': /^lib\/recipe\/written\/json\.ts$/,
  'colorjs.io': /^lib\/colour\//,
  geotiff: /^lib\/formats\/tiff\/display\/jpeg-decoder\.ts$/,
  commander: /^lib\/cli\//,
  tinyglobby: /^lib\/node\/files\/glob\.ts$/,
};

const lib = sourcesBelow('lib');
const folderOf = (path: string) => path.split('/')[1]!;
/** What is public: verbs, and `parts/`, what they are made of. */
const isTop = (path: string) => /^lib\/(parts\/|(index|surface|checked)\.ts$)/.test(path);
const packageOf = (spelling: string) =>
  spelling
    .split('/')
    .slice(0, spelling.startsWith('@') ? 2 : 1)
    .join('/');

/** Every import of the library that `bad` complains about, as "file: complaint". */
const complaints = (bad: (file: SourceFile, spelling: string) => string | undefined, files = lib) =>
  files.flatMap((file) =>
    file.imports.flatMap((spelling) => bad(file, spelling) ?? []).map((text) => `${file.path}: ${text}`),
  );

describe('imports of the library', () => {
  it('finds the files and their imports', () => {
    expect(lib.length).toBeGreaterThan(60);
    expect(lib.find(({ path }) => path === 'lib/cli/program.ts')?.imports).toContain('commander');
  });

  it('knows every folder', () => {
    const folders = new Set(lib.filter(({ path }) => !isTop(path)).map(({ path }) => folderOf(path)));
    expect([...folders].filter((folder) => !ORDER.includes(folder))).toEqual([]);
  });

  it('go only to earlier folders, and never from stage to stage', () => {
    const found = complaints((file, spelling) => {
      if (!spelling.startsWith('.') || isTop(file.path)) return undefined;
      const to = target(file, spelling);
      if (isTop(to))
        return folderOf(file.path) === 'node' || folderOf(file.path) === 'web'
          ? undefined
          : 'imports the whole library';
      const from = folderOf(file.path);
      const folder = folderOf(to);
      if (from === folder) return undefined;
      if (ORDER.indexOf(folder) > ORDER.indexOf(from)) return `${from} must not import ${folder} (${spelling})`;
      if (from === 'web' && folder === 'node') return `the page must not know node (${spelling})`;
      if (STAGES.includes(from) && folder !== 'plane') return `the stage ${from} must not know ${folder} (${spelling})`;
      return undefined;
    });
    expect(found).toEqual([]);
  });

  it('touch Node only in node/ and cli/', () => {
    const found = complaints((file, spelling) =>
      spelling.startsWith('node:') && !['node', 'cli'].includes(folderOf(file.path)) ? spelling : undefined,
    );
    expect(found).toEqual([]);
  });

  it('touch the DOM only in web/', () => {
    const comments = /\/\*[\s\S]*?\*\/|\/\/.*/g;
    const dom = /\b(document|window|HTMLElement|HTMLCanvasElement|localStorage)\.|\bnew (Blob|File|Worker)\(/;
    const found = lib.filter(
      ({ path, text }) => folderOf(path) !== 'web' && folderOf(path) !== 'node' && dom.test(text.replace(comments, '')),
    );
    expect(found.map(({ path }) => path)).toEqual([]);
  });

  it('reach each package through the files that stand for it', () => {
    const found = complaints((file, spelling) => {
      if (spelling.startsWith('.') || spelling.startsWith('node:')) return undefined;
      const allowed = PACKAGES[packageOf(spelling)];
      return allowed?.test(file.path) ? undefined : `imports ${spelling}`;
    });
    expect(found).toEqual([]);
  });
});

describe('imports of library and playground', () => {
  it('close no circle, not even of types', () => {
    expect(cyclesOf(graphOf([...lib, ...sourcesBelow('playground')]))).toEqual([]);
  });
});

describe('imports of the playground', () => {
  it('do not reach Node, the command line or the whole library', () => {
    const found = complaints((file, spelling) => {
      if (spelling.startsWith('node:')) return spelling;
      if (!spelling.startsWith('.')) return undefined;
      const to = target(file, spelling);
      return /^lib\/(node|cli|parts)\/|^lib\/index/.test(to) ? spelling : undefined;
    }, sourcesBelow('playground'));
    expect(found).toEqual([]);
  });
});
