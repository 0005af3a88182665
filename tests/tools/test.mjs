// npm test: everything, then one line with the counts. Words after `--` keep the test files whose path contains them.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'linewash-counts-'));
const counts = { passed: 0, failed: 0, skipped: 0 };

const node = (...words) => spawnSync(process.execPath, words, { cwd: root, stdio: 'inherit' });

const unit = () => {
  const file = join(folder, 'unit.json');
  const { status } = node(
    'node_modules/vitest/vitest.mjs',
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${file}`,
    ...process.argv.slice(2),
  );
  const result = readJson(file);
  counts.passed += result?.numPassedTests ?? 0;
  counts.skipped += (result?.numPendingTests ?? 0) + (result?.numTodoTests ?? 0);
  const failed = result?.numFailedTests ?? 0;
  // A file that breaks before its tests fails without one.
  counts.failed += failed === 0 && status !== 0 ? 1 : failed;
};

const browser = () => {
  const file = join(folder, 'browser.json');
  const { status } = node('tests/browser/run.mjs', ...process.argv.slice(2, 3), `--counts=${file}`);
  const result = readJson(file);
  counts.passed += result?.passed ?? 0;
  counts.skipped += result?.skipped ?? 0;
  counts.failed += (result?.failed ?? 0) === 0 && status !== 0 ? 1 : (result?.failed ?? 0);
};

const readJson = (file) => {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return undefined;
  }
};

unit();
browser();
rmSync(folder, { recursive: true, force: true });
console.log(`\n${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
process.exit(counts.failed === 0 && counts.passed > 0 ? 0 : 1);
