import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { checkPackage, createPackageFromTarballData } from '@arethetypeswrong/core';
import { publint } from 'publint';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inTurn, someOf } from '../cases.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = existsSync(join(root, 'dist/lib/cli/main.js')) && existsSync(join(root, 'dist/page/index.html'));

const SAMPLES = ['emberwing-H.fits', 'emberwing-O-later.fits.gz', 'emberwing-O.fits', 'emberwing-S.fits'];

/** Bytes of a file, unpacked: deflate may differ between versions of Node. */
const contentOf = (path: string): Buffer =>
  path.endsWith('.gz') ? gunzipSync(readFileSync(path)) : readFileSync(path);

/** Bytes of all files in a folder. */
const bytesIn = (folder: string): number =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0);

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
      /^(dist\/(lib|page)\/.*|docs\/.*\.(md|mjs)|docs\/recipe\.schema\.json|docs\/pictures\/(sheet|page-desk-light)\.jpg|package\.json|(samples\/)?README\.md|DEVELOPERS\.md|LICENSE)$/;
    expect(packed.files.map(({ path }) => path).filter((path) => !allowed.test(path))).toEqual([]);
    expect(packed.files.filter(({ path }) => /\.(map|test\.js|tsbuildinfo)$/.test(path))).toEqual([]);
    expect(packed.size).toBeLessThan(3e6);
  });

  it('takes less than 20 MB when it is installed, with all that it needs', () => {
    const needed = shipped().map((name) => bytesIn(join(root, 'node_modules', name)));
    const own = bytesIn(join(folder, 'node_modules/linewash'));
    expect([own, ...needed].reduce((a, b) => a + b)).toBeLessThan(20e6);
  });

  it('has the masters with which its page opens, in small, and computes the others', () => {
    const masters = packed.files.filter(({ path }) => /\.(fits|fits\.gz|tif)$/.test(path)).map(({ path }) => path);
    expect(masters.sort()).toEqual(['H', 'O', 'S'].map((line) => `dist/page/emberwing-${line}.fits`));
    const worker = readFileSync(join(folder, 'node_modules/linewash/dist/page/service-worker.js'), 'utf8');
    const list = JSON.parse(/^self\.linewashFiles=(.*);\n/.exec(worker)![1]!);
    for (const path of masters) {
      const bytes = readFileSync(join(folder, 'node_modules/linewash', path));
      expect(createHash('sha256').update(bytes).digest('hex').slice(0, 32)).toBe(list[basename(path)]);
    }
  });

  it('has a README whose links lead to files that it holds', () => {
    const held = new Set(packed.files.map(({ path }) => path));
    const text = readFileSync(join(folder, 'node_modules/linewash/README.md'), 'utf8').replace(/```[\s\S]*?```/g, '');
    const links = [...text.matchAll(/\]\(([^)\s#]+)[^)]*\)/g)].map(([, target]) => target!);
    const own = links.filter((target) => !/^https?:/.test(target));
    expect(own.length).toBeGreaterThan(8);
    const isHeld = (path: string) =>
      held.has(path) || (path.endsWith('/') && [...held].some((p) => p.startsWith(path)));
    expect(own.filter((path) => !isHeld(path))).toEqual([]);
  });

  it.skipIf(!inTurn('for publint'))('is in order for publint, and its types for attw', async () => {
    const { messages } = await publint({ pkgDir: join(folder, 'node_modules/linewash'), pack: false, strict: true });
    expect(messages).toEqual([]);
    const found = await checkPackage(createPackageFromTarballData(readFileSync(join(folder, packed.filename))));
    // It is for modules alone: resolution of Node 10 and of CommonJS is not what `engines` and `type` promise.
    const problems = found.types === false ? ['no types'] : found.problems;
    const meant = problems.filter((problem) => {
      if (typeof problem === 'string') return true;
      const { kind } = problem;
      const old = 'resolutionKind' in problem && ['node10', 'node16-cjs'].includes(problem.resolutionKind);
      return !old && kind !== 'CJSResolvesToESM';
    });
    expect(meant).toEqual([]);
  });

  it.skipIf(!inTurn('its page'))('serves its page', async () => {
    const server = spawn(process.execPath, [command, 'page', '--no-open'], { cwd: folder });
    const address = await new Promise<string>((resolve) =>
      server.stdout.once('data', (text) => resolve(`${text}`.trim())),
    );
    expect(await (await fetch(address)).text()).toContain('<lw-app>');
    expect((await fetch(`${address}emberwing-H.fits`)).status).toBe(200);
    const code = new Promise((resolve) => server.once('exit', resolve));
    server.kill('SIGINT');
    expect(await code).toBe(0);
  });

  it('has a command that knows its version and computes demo masters', () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    expect(inProject(process.execPath, command, '--version').stdout.trim()).toBe(version);
    const sampled = inProject(process.execPath, command, 'samples', 'small', '--size', '120');
    expect(sampled.stdout, sampled.stderr).toBe(
      ['S', 'H', 'O'].map((line) => `small/emberwing-${line}.fits\n`).join(''),
    );
  });

  // Computing them takes some seconds.
  it.runIf(process.env.LINEWASH_FULL)('computes the demo masters as they lie beside the source', () => {
    expect(inProject(process.execPath, command, 'samples', 'demo').status).toBe(0);
    const names = readdirSync(join(folder, 'demo'));
    expect(names.sort()).toEqual(SAMPLES);
    for (const name of names)
      expect(contentOf(join(folder, 'demo', name)).equals(contentOf(join(root, 'samples/masters', name)))).toBe(true);
  });

  it.skipIf(!inTurn('draws captions'))('mixes, and draws captions and sheets, from the command', () => {
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
