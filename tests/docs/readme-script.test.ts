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
import { DEMO, shrinkDemo } from './small-demo.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = existsSync(join(root, 'dist/lib/node/index.js')) && existsSync(join(root, 'dist/lib/cli/main.js'));
const folder = mkdtempSync(join(tmpdir(), 'linewash-readme-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Scripts in a page, as a reader would copy them. */
const scripts = (page: string): string[] =>
  [...readFileSync(join(root, page), 'utf8').matchAll(/^```js\n([\s\S]*?)^```$/gm)].map((match) => match[1]!);

/** Runs scripts in turn in one process, and says where each begins: to start one for each takes longer than most of them. */
const RUNNER = `
for (const name of process.argv.slice(2)) {
  console.log('\\x01' + name);
  await import('./' + name + '.mjs').catch((cause) => console.log('\\x02' + cause.stack));
}`;

/** All that is run: examples, the script of the README, and that about batches. */
const SCRIPTS = (): Readonly<Record<string, string>> => ({
  ...Object.fromEntries(
    EXAMPLES.map(([name]) => [name, readFileSync(join(root, `docs/examples/${name}.mjs`), 'utf8')] as const),
  ),
  script: scripts('README.md')[0]!,
  batch: scripts('docs/batch.md')[0]!,
});

/** What each script says, and what they say as errors. */
const said = new Map<string, string>();
let errors = '';

/** Runs them in a folder in which linewash is installed and the demo masters are written, in small. */
const runAll = async (): Promise<void> => {
  mkdirSync(join(folder, 'node_modules'));
  symlinkSync(root, join(folder, 'node_modules/linewash'));
  const written = spawnSync(process.execPath, [join(root, 'dist/lib/cli/main.js'), 'samples', 'demo'], { cwd: folder });
  expect(written.status).toBe(0);
  await shrinkDemo(join(folder, 'demo'));
  const all = SCRIPTS();
  for (const [name, script] of Object.entries(all)) writeFileSync(join(folder, `${name}.mjs`), script);
  writeFileSync(join(folder, 'runner.mjs'), RUNNER);
  const words = ['runner.mjs', ...Object.keys(all)];
  const ran = spawnSync(process.execPath, words, { cwd: folder, encoding: 'utf8' });
  expect(ran.status, ran.stderr).toBe(0);
  errors = ran.stderr;
  for (const part of ran.stdout.split('\x01').slice(1)) {
    const end = part.indexOf('\n');
    said.set(part.slice(0, end), part.slice(end + 1));
  }
};

const { width, height } = DEMO;

/** Each with what it says. */
const EXAMPLES: readonly [name: string, said: RegExp][] = [
  ['mix-files', /mine\.png display-p3 S,H,O/],
  // .7 · 100/255, .1 · 100/255 + .3 · .25 and .9 · .25, in steps of 1/255.
  ['mix-arrays', /^4 70,29,57,255\n3 49152$/m],
  ['own-picture', new RegExp(`${width} ${height} ${3 * width * height}`)],
  ['own-curve', new RegExp(`^${width} ${height} 3 ${3 * width * height}$`, 'm')],
  ['make-batch', /2 made, 0 up to date, 0 failed/],
  ['ask-files', /^S 996 5\.\d [\d.]+\n(.*\n)+S: [\d.]+ h more\n(.*\n)+asked\.png \d+ \d+ \d+$/m],
];

// The script imports the built package: without a build there is nothing to import.
describe.skipIf(!built)('scripts in the documents run as they stand', () => {
  beforeAll(runAll);

  it('all of them, without an error', () => {
    expect([...said.keys()]).toEqual(Object.keys(SCRIPTS()));
    for (const [name, text] of said) expect(text, name).not.toContain('\x02');
    expect(errors).not.toMatch(/Error/);
  });

  it('the ten lines of the README', () => {
    const [script, ...others] = scripts('README.md');
    expect(others).toEqual([]);
    expect(script!.trim().split('\n').filter(Boolean).length).toBeLessThanOrEqual(10);
    expect(said.get('script')).toMatch(new RegExp(`ember-from-script\\.tif ${width} ${height}`));
    expect(readdirSync(join(folder, 'demo'))).toContain('ember-from-script.tif');
  });

  it('all that stand in the folder of examples', () => {
    const names = readdirSync(join(root, 'docs/examples')).map((name) => name.replace('.mjs', ''));
    // The one for a page runs in a browser: tests/e2e/embed.test.ts.
    expect(names.filter((name) => name !== 'in-a-page').sort()).toEqual(EXAMPLES.map(([name]) => name).sort());
  });

  it.each(EXAMPLES)('the example %s', (name, words) => {
    expect(said.get(name)).toMatch(words);
  });

  it('the script about batches', () => {
    expect(said.get('batch')).toMatch(/2 made, 0 up to date, 0 failed/);
    expect(readdirSync(join(folder, 'demo/pictures'))).toEqual([
      'emberwing ember.tif',
      'emberwing hoo.tif',
      'sheet.png',
    ]);
  });
});
