// Compiles the library as it stands into a folder of its own, so that whole processes can be started and killed in tests
// whether or not the project has been built. File by file and without type checks: a second's work.
import { cpSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const root = fileURLToPath(new URL('../..', import.meta.url));

const compilerOptions = {
  target: ts.ScriptTarget.ES2023,
  module: ts.ModuleKind.ESNext,
  verbatimModuleSyntax: true,
  isolatedModules: true,
  rewriteRelativeImportExtensions: true,
};

const compileFile = (from, to) => {
  mkdirSync(dirname(to), { recursive: true });
  const { outputText } = ts.transpileModule(readFileSync(from, 'utf8'), { compilerOptions, fileName: from });
  writeFileSync(to, outputText);
};

/** Compiles `folders` of the project into `into`; returns the path of the command. */
export const compileInto = (into, folders = ['lib']) => {
  for (const folder of folders)
    for (const name of readdirSync(join(root, folder), { recursive: true })) {
      const from = join(root, folder, name);
      if (name.includes('wasm/assembly')) continue;
      if (name.endsWith('.ts')) compileFile(from, join(into, folder, name.replace(/\.ts$/, '.js')));
      else if (name.endsWith('.json') && !name.includes('tsconfig')) {
        mkdirSync(dirname(join(into, folder, name)), { recursive: true });
        cpSync(from, join(into, folder, name));
      }
    }
  writeFileSync(join(into, 'package.json'), '{"type":"module"}');
  symlinkSync(join(root, 'node_modules'), join(into, 'node_modules'));
  return join(into, 'lib/cli/main.js');
};
