// npm test: everything, then one line with the counts. Words after `--` keep the test files whose path contains them.
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { setPriority, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'linewash-counts-'));
const counts = { passed: 0, failed: 0, skipped: 0 };

/** Runs a script of Node, and gives its exit code; what it says comes at once, or together at the end. */
const node = (words, { together = false, niceness = 0 } = {}) =>
  new Promise((resolve) => {
    const child = spawn(process.execPath, words, {
      cwd: root,
      stdio: ['ignore', ...Array(2).fill(together ? 'pipe' : 'inherit')],
    });
    try {
      setPriority(child.pid, niceness);
    } catch {
      // It has ended already, or the system does not allow it.
    }
    const said = [];
    child.stdout?.on('data', (bytes) => said.push(bytes));
    child.stderr?.on('data', (bytes) => said.push(bytes));
    child.on('close', (status) => resolve({ status, said: Buffer.concat(said) }));
  });

const unit = async () => {
  const file = join(folder, 'unit.json');
  const { status } = await node(
    [
      'node_modules/vitest/vitest.mjs',
      'run',
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${file}`,
      '--passWithNoTests',
      ...process.argv.slice(2),
    ],
    // The browser goes first: there a test waits for pictures, here it computes.
    { niceness: 5 },
  );
  const result = readJson(file);
  counts.passed += result?.numPassedTests ?? 0;
  counts.skipped += (result?.numPendingTests ?? 0) + (result?.numTodoTests ?? 0);
  const failed = result?.numFailedTests ?? 0;
  // A file that breaks before its tests fails without one.
  counts.failed += failed === 0 && status !== 0 ? 1 : failed;
};

const browser = async () => {
  const file = join(folder, 'browser.json');
  const words = ['tests/browser/run.mjs', ...process.argv.slice(2, 3), `--counts=${file}`];
  const { status, said } = await node(words, { together: true });
  const result = readJson(file);
  const { passed, failed, skipped } = result ?? { passed: 0, failed: 0, skipped: 0 };
  counts.passed += passed;
  counts.skipped += skipped;
  // Words may name files of the other half alone.
  const ran = passed + failed > 0 || result === undefined;
  counts.failed += failed === 0 && status !== 0 && ran ? 1 : failed;
  return said;
};

const readJson = (file) => {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return undefined;
  }
};

// Side by side, since a page that waits leaves a processor to the others.
const [, said] = await Promise.all([unit(), browser()]);
process.stdout.write(said);
rmSync(folder, { recursive: true, force: true });
console.log(`\n${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
process.exit(counts.failed === 0 && counts.passed > 0 ? 0 : 1);
