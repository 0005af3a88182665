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

const compile = (name: string, program: string, options: object) => {
  const file = join(folder, `${name}.ts`);
  writeFileSync(file, program);
  const config = join(folder, `${name}.json`);
  const common = {
    target: 'es2022',
    strict: true,
    noEmit: true,
    types: [],
    skipLibCheck: false,
    lib: ['es2023', 'dom'],
  };
  writeFileSync(config, JSON.stringify({ compilerOptions: { ...common, ...options }, files: [file] }));
  const { stdout, status } = spawnSync(
    process.execPath,
    [join(root, 'node_modules/typescript/bin/tsc'), '-p', config],
    {
      encoding: 'utf8',
    },
  );
  return { stdout, status };
};

const BUNDLER = { module: 'preserve', moduleResolution: 'bundler' };
const NODE = { module: 'nodenext', moduleResolution: 'nodenext' };

describe.skipIf(!built)('types of the package, in a project without types of Node', { timeout: 120_000 }, () => {
  it.each([
    ['a script of Node', 'bundler', ON_NODE, BUNDLER],
    ['a script of Node', 'nodenext', ON_NODE, NODE],
    ['a page', 'bundler', IN_BROWSER, BUNDLER],
    ['a page', 'bundler that asks for the browser', IN_BROWSER, { ...BUNDLER, customConditions: ['browser'] }],
  ])('%s, %s', (what, how, program, options) => {
    expect(compile(`${what}-${how}`.replaceAll(' ', '-'), program, options)).toEqual({ stdout: '', status: 0 });
  });

  it('do not promise files in a browser', () => {
    const { stdout } = compile('no-files', ON_NODE, { ...BUNDLER, customConditions: ['browser'] });
    expect(stdout).toMatch(/'"linewash"' has no exported member 'mixFiles'|has no exported member.*mixFiles/);
  });
});
