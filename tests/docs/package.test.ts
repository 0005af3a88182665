import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { someOf } from '../cases.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = existsSync(join(root, 'dist/lib/cli/main.js')) && existsSync(join(root, 'dist/playground/index.html'));

const SAMPLES = [
  'emberwing-H.fits',
  'emberwing-O-later.fits.gz',
  'emberwing-O.fits',
  'emberwing-S.fits',
  'emberwing-starless-H.fits',
  'emberwing-starless-O.fits',
  'emberwing-starless-S.fits',
  'emberwing-stars.tif',
];

interface Packed {
  readonly filename: string;
  readonly size: number;
  readonly files: readonly { readonly path: string }[];
}

/** Packs what `npm publish` would send, without building again. */
const pack = (folder: string): Packed => {
  const ran = spawnSync('npm', ['pack', '--ignore-scripts', '--json', '--pack-destination', folder], {
    cwd: root,
    encoding: 'utf8',
  });
  expect(ran.status, ran.stderr).toBe(0);
  const answer = JSON.parse(ran.stdout);
  return (Array.isArray(answer) ? answer : Object.values(answer))[0] as Packed;
};

/** The packages that an installation brings along: the lockfile's that are not only for development. */
const shipped = (): string[] => {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
  return Object.keys(packages)
    .filter((path) => /^node_modules\/(@[^/]+\/)?[^/]+$/.test(path) && !packages[path].dev)
    .map((path) => path.slice('node_modules/'.length));
};

/** Lays the package into an empty project, with nothing beside it but what it depends on. */
const install = (folder: string, tarball: string): void => {
  const place = join(folder, 'node_modules/linewash');
  mkdirSync(place, { recursive: true });
  expect(spawnSync('tar', ['-xzf', tarball, '-C', place, '--strip-components=1']).status).toBe(0);
  for (const name of shipped()) {
    mkdirSync(join(folder, 'node_modules', name, '..'), { recursive: true });
    symlinkSync(join(root, 'node_modules', name), join(folder, 'node_modules', name));
  }
  writeFileSync(join(folder, 'package.json'), '{ "type": "module" }');
};

// The package holds what a build made: without one there is nothing to pack.
describe.skipIf(!built)('the package', () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-package-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  let packed: Packed;
  const inProject = (program: string, ...words: string[]) =>
    spawnSync(program, words, { cwd: folder, encoding: 'utf8' });
  const command = join(folder, 'node_modules/linewash/dist/lib/cli/main.js');

  beforeAll(() => {
    packed = pack(folder);
    install(folder, join(folder, packed.filename));
  });

  it('holds what a user needs and nothing else', () => {
    // npm packs every README beside what is named.
    const allowed =
      /^(dist\/(lib|playground)\/.*|docs\/recipe\.schema\.json|package\.json|(docs\/)?README\.md|LICENSE|.*\.d\.ts)$/;
    expect(packed.files.map(({ path }) => path).filter((path) => !allowed.test(path))).toEqual([]);
    expect(packed.files.filter(({ path }) => /\.(map|test\.js|tsbuildinfo)$/.test(path))).toEqual([]);
    // Most of it is the sample masters. Threads open every kind of master, so a thread's file holds the readers too.
    expect(packed.size).toBeLessThan(7.2e6);
  });

  it('holds the sample masters once', () => {
    const masters = packed.files.filter(({ path }) => /\.(fits|fits\.gz|tif)$/.test(path)).map(({ path }) => path);
    expect(masters.sort()).toEqual(SAMPLES.map((name) => `dist/playground/${name}`));
  });

  it('has a command that knows its version and writes the demo masters', () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    expect(inProject(process.execPath, command, '--version').stdout.trim()).toBe(version);
    expect(inProject(process.execPath, command, 'samples', 'demo').status).toBe(0);
    const names = readdirSync(join(folder, 'demo'));
    expect(names.sort()).toEqual(SAMPLES.slice(0, 4));
    for (const name of names)
      expect(readFileSync(join(folder, 'demo', name)).equals(readFileSync(join(root, 'samples/masters', name)))).toBe(
        true,
      );
  });

  it('mixes, and draws captions and sheets, from the command', () => {
    const lines = ['S', 'H', 'O'].map(
      (line) => `${line}=${join(process.env.LINEWASH_SMALL_MASTERS!, `emberwing-${line}.fits`)}`,
    );
    const mixed = inProject(process.execPath, command, 'mix', 'ember', ...lines, '-o', 'ember.tif');
    expect(mixed.stdout, mixed.stderr).toBe('ember.tif\n');
    const drawn = inProject(process.execPath, command, 'sheet', 'sho', 'hoo', ...lines, '-o', 'sheet.png');
    expect(drawn.stdout, drawn.stderr).toBe('sheet.png\n');
  });

  it('is imported by name, whole and in the browser part', () => {
    const script = `
      import { catalogueRecipe, mixFiles } from 'linewash';
      import schema from 'linewash/recipe.schema.json' with { type: 'json' };
      import { openFile, planeSource } from 'linewash/parts';
      import { blobSource } from 'linewash/web';
      const kinds = [mixFiles, openFile, planeSource, blobSource].map((value) => typeof value);
      console.log(kinds.join(), catalogueRecipe('ember').name, schema.type);`;
    writeFileSync(join(folder, 'script.mjs'), script);
    const ran = inProject(process.execPath, '--no-warnings', 'script.mjs');
    expect(ran.stdout, ran.stderr).toBe('function,function,function,function Ember object\n');
  });

  it('is imported without files where a browser is asked for', () => {
    const script = `
      import * as verbs from 'linewash';
      import * as parts from 'linewash/parts';
      console.log('mixFiles' in verbs, 'mixArrays' in verbs, 'openFile' in parts, 'openPlane' in parts);`;
    writeFileSync(join(folder, 'browser.mjs'), script);
    // Node keeps its own conditions beside those named, and takes the first that an entry has.
    const ran = inProject(process.execPath, '--conditions=browser', 'browser.mjs');
    expect(ran.stdout, ran.stderr).toBe('false true false true\n');
  });

  const WAYS = [
    ['NodeNext', 'NodeNext'],
    ['ESNext', 'bundler'],
  ] as const;
  it.each(someOf(WAYS, 1))('has types under module %s, resolution %s', (module, resolution) => {
    const script = `
      import { catalogueRecipe, type WrittenRecipe } from 'linewash';
      import { mixFiles, type MixResult } from 'linewash';
      import { planeSource, type FileSource } from 'linewash/parts';
      import { blobSource } from 'linewash/web';
      const recipe: WrittenRecipe = catalogueRecipe('ember');
      export const result: Promise<MixResult> = mixFiles({ recipe, inputs: { S: 's.fits' }, output: 'o.tif' });
      export const width: Promise<number> = result.then(({ width }) => width);
      export const read = (file: FileSource) => [file.size, planeSource];
      export const source = blobSource('s.fits', new Blob([]));
      // @ts-expect-error a recipe is no number: were everything \`any\`, this line would be in vain
      mixFiles({ recipe: 1, inputs: {}, output: 'o.tif' });`;
    writeFileSync(join(folder, 'types.ts'), script);
    const options = {
      module,
      moduleResolution: resolution,
      target: 'ES2023',
      lib: ['ES2023', 'DOM'],
      strict: true,
      noEmit: true,
      // Whether its declarations are sound themselves is seen to in types.test.ts.
      skipLibCheck: true,
      types: [],
    };
    writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify({ compilerOptions: options, files: ['types.ts'] }));
    const ran = inProject(process.execPath, join(root, 'node_modules/typescript/bin/tsc'), '-p', '.');
    expect(ran.stdout + ran.stderr).toBe('');
  });
});
