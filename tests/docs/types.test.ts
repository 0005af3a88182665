import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = existsSync(join(root, 'dist/lib/surface.d.ts'));
const folder = mkdtempSync(join(tmpdir(), 'linewash-types-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The package as it is installed, with the packages whose types it names, and without any types of Node. */
beforeAll(() => {
  if (!built) return;
  const place = join(folder, 'node_modules/linewash');
  mkdirSync(place, { recursive: true });
  cpSync(join(root, 'package.json'), join(place, 'package.json'));
  cpSync(join(root, 'dist/lib'), join(place, 'dist/lib'), {
    recursive: true,
    filter: (path) => !path.endsWith('.js') && !path.endsWith('.map'),
  });
  cpSync(join(root, 'node_modules/valibot'), join(folder, 'node_modules/valibot'), { recursive: true });
  writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
});

const ON_NODE = `
import { catalogueRecipe, mixFiles, type MixResult } from 'linewash';
import { batchFiles } from 'linewash/node';
const result: MixResult = await mixFiles({ recipe: catalogueRecipe('hoo')!, inputs: { H: 'h', O: 'o' }, output: 'a.tif' });
const text: string = result.output + (await batchFiles({ plan: 'p.json' })).made;
export { text };
`;
const IN_BROWSER = `
import { memorySource, openPlane } from 'linewash';
import { blobSource } from 'linewash/web';
export const source = await openPlane(memorySource('a', new Uint8Array(1)), {});
export const other = blobSource('a', new Blob([]));
`;

/** What the compiler says of a script of Node and a page under some way of finding packages. */
const compile = (name: string, programs: readonly string[], options: object): string => {
  const files = programs.map((program, i) => {
    const file = join(folder, `${name}-${i}.ts`);
    writeFileSync(file, program);
    return file;
  });
  const config = join(folder, `${name}.json`);
  const common = { target: 'es2022', strict: true, noEmit: true, types: [], lib: ['es2023', 'dom'] };
  writeFileSync(config, JSON.stringify({ compilerOptions: { ...common, ...options }, files }));
  const compiler = join(root, 'node_modules/typescript/bin/tsc');
  return spawnSync(process.execPath, [compiler, '-p', config], { encoding: 'utf8' }).stdout;
};

const BUNDLER = { module: 'preserve', moduleResolution: 'bundler' };
const NODE = { module: 'nodenext', moduleResolution: 'nodenext' };

describe.skipIf(!built)('types of the package, in a project without types of Node', { timeout: 300_000 }, () => {
  it.each([
    ['bundler', BUNDLER],
    ['nodenext', NODE],
  ])('suit scripts of Node and pages: %s', (name, options) => {
    expect(compile(name, [ON_NODE, IN_BROWSER], options)).toBe('');
  });

  it('do not promise files to who asks for the browser', () => {
    const said = compile('browser', [ON_NODE, IN_BROWSER], { ...BUNDLER, customConditions: ['browser'] });
    expect(said).toMatch(/browser-0\.ts.*mixFiles/);
    expect(said).not.toMatch(/browser-1\.ts/);
  });
});
