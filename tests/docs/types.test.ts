import { cpSync, existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { someOf } from '../cases.ts';

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
import { batchFiles, catalogueRecipe, hoursFiles, measureFiles, mixFiles, type MixResult, type SheetRecipe, sheetFiles, suggestFiles } from 'linewash';
import { openFile, planFiles, runBatch, settledRecipe } from 'linewash/parts';
const inputs = { H: 'h', O: 'o' };
const recipe = catalogueRecipe('hoo')!;
const result: MixResult = await mixFiles({ recipe, inputs, output: 'a.tif' });
const noise: (number | null)[] = (await measureFiles({ inputs, background: { order: 2 } })).channels.map(({ noise }) => noise);
const advice = (await hoursFiles({ recipe, inputs, more: 10, lines: { O: { cap: 20 } } })).advice?.allocation?.clock;
const recipes: SheetRecipe[] = (await suggestFiles({ inputs })).suggestions.map(({ recipe }) => ({ recipe }));
const sheet = await sheetFiles({ recipes, inputs, output: 'a.png' });
const text: string = result.output + sheet.output + (await batchFiles({ plan: 'p.json' })).made;
export { advice, noise, openFile, planFiles, runBatch, settledRecipe, text };
// @ts-expect-error a recipe is no number: were everything \`any\`, this line would be in vain
void mixFiles({ recipe: 1, inputs, output: 'o.tif' });
`;
const IN_BROWSER = `
import { catalogueRecipe, mixArrays, renderPicture, settleChannels, type Picture } from 'linewash';
import { memorySource, openPlane, pictureInMemory, preparedChannels } from 'linewash/parts';
import { blobSource } from 'linewash/web';
export const source = await openPlane(memorySource('a', new Uint8Array(1)), {});
export const other = blobSource('a', new Blob([]));
const recipe = catalogueRecipe('ember')!;
const { settled } = await settleChannels(recipe, [{ name: 'H', source }]);
const form = { width: 1, height: 1, sample: 'u8', bands: 3 } as const;
await renderPicture(preparedChannels(settled, []), settled, form, pictureInMemory(form).writer);
export const picture: Picture = mixArrays({ H: new Float32Array(1) }, form, recipe);
`;

/** Files that several programs share, each parsed once. */
const parsed = new Map<string, ts.SourceFile | undefined>();

const hostFor = (options: ts.CompilerOptions): ts.CompilerHost => {
  const host = ts.createCompilerHost(options);
  const { getSourceFile } = host;
  host.getCurrentDirectory = () => folder;
  host.getSourceFile = (file, language, ...more) => {
    // Whether a file is a module of one kind or the other belongs to its parse.
    const kind = typeof language === 'object' ? language.impliedNodeFormat : undefined;
    const key = `${file} ${kind}`;
    if (!parsed.has(key)) parsed.set(key, getSourceFile.call(host, file, language, ...more));
    return parsed.get(key);
  };
  return host;
};

const isOfPackage = (file: ts.SourceFile): boolean => file.fileName.includes('node_modules/linewash/');

/**
 * What the compiler says of a script of Node and a page under some way of finding packages, and of declarations: those
 * of the package, or all that it brings along. The compiler's own are not ours to check.
 */
const compile = (name: string, programs: readonly string[], options: object, declarations = isOfPackage): string => {
  const files = programs.map((program, i) => {
    const file = join(folder, `${name}-${i}.ts`);
    writeFileSync(file, program);
    return file;
  });
  const common = { target: 'es2022', strict: true, noEmit: true, types: [], lib: ['es2023', 'dom'] };
  const read = ts.convertCompilerOptionsFromJson({ ...common, ...options }, folder);
  expect(read.errors).toEqual([]);
  const host = hostFor(read.options);
  const program = ts.createProgram({ rootNames: files, options: read.options, host });
  const own = program.getSourceFiles().filter((file) => !program.isSourceFileDefaultLibrary(file));
  // Without any declaration of the package nothing would be proved.
  expect(own.filter(isOfPackage).length).toBeGreaterThan(20);
  const chosen = own.filter((file) => !file.isDeclarationFile || declarations(file));
  const said = [
    ...program.getOptionsDiagnostics(),
    ...program.getGlobalDiagnostics(),
    ...chosen.flatMap((file) => [...program.getSyntacticDiagnostics(file), ...program.getSemanticDiagnostics(file)]),
  ];
  return ts.formatDiagnostics(said, host);
};

/** Ways of finding packages, and whose declarations are checked: those of other packages once. */
const RESOLUTIONS = [
  ['nodenext', { module: 'nodenext', moduleResolution: 'nodenext' }, () => true],
  ['bundler', { module: 'preserve', moduleResolution: 'bundler' }, isOfPackage],
] as const;

describe.skipIf(!built)('types of the package, in a project without types of Node', { timeout: 300_000 }, () => {
  // With skipLibCheck the compiler says a part of what it says without.
  it.each(someOf([...RESOLUTIONS], 1))(
    'suit scripts of Node and pages under %s, with declarations checked',
    (name, options, which) => {
      expect(compile(name, [ON_NODE, IN_BROWSER], options, which)).toBe('');
    },
  );

  it('do not promise files to who asks for the browser', () => {
    const options = { ...RESOLUTIONS[1][1], customConditions: ['browser'] };
    const said = compile('browser', [ON_NODE, IN_BROWSER], options, () => false);
    for (const name of ['mixFiles', 'measureFiles', 'openFile'])
      expect(said).toMatch(new RegExp(`browser-0\\.ts.*${name}`));
    expect(said).not.toMatch(/browser-1\.ts/);
  });
});
