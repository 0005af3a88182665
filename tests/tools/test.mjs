// npm test: everything, then one line with the counts. Words after `--` keep the test files whose path contains them.
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { setPriority, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import chooseSeed from './seed.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'linewash-counts-'));
/** Large arrays in pages of 2 MiB: fresh memory is dear in virtual machines, where it comes by 4 KiB. */
const LARGE_PAGES = 'glibc.malloc.hugetlb=1';
const counts = { passed: 0, failed: 0, skipped: 0 };

/**
 * Linux shares processors out among sessions first, and a browser is one of its own: niceness counts only beside processes
 * of the same session. So what gives way to the browser gets a session too, and that session the niceness.
 */
const LINUX = process.platform === 'linux';

const giveWay = (pid) => {
  try {
    setPriority(pid, 5);
    if (LINUX) writeFileSync(`/proc/${pid}/autogroup`, '10');
  } catch {
    // It has ended already, or the system does not allow it.
  }
};

/** What a signal to this process must end besides: a session of its own hears nothing of the terminal. */
const apart = new Set();
for (const [signal, code] of [
  ['SIGINT', 130],
  ['SIGTERM', 143],
])
  process.once(signal, () => {
    for (const pid of apart) process.kill(-pid, signal);
    process.exit(code);
  });

/** Runs a script of Node, and gives its exit code; what it says comes at once, or together at the end. */
const node = (words, { together = false, givesWay = false } = {}) =>
  new Promise((resolve) => {
    const detached = givesWay && LINUX;
    const child = spawn(process.execPath, words, {
      cwd: root,
      detached,
      env: { ...process.env, GLIBC_TUNABLES: process.env.GLIBC_TUNABLES ?? LARGE_PAGES },
      stdio: ['ignore', ...Array(2).fill(together ? 'pipe' : 'inherit')],
    });
    if (detached) apart.add(child.pid);
    if (givesWay) giveWay(child.pid);
    const said = [];
    child.stdout?.on('data', (bytes) => said.push(bytes));
    child.stderr?.on('data', (bytes) => said.push(bytes));
    child.on('close', (status) => {
      apart.delete(child.pid);
      resolve({ status, said: Buffer.concat(said) });
    });
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
    { givesWay: true },
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

// One for both.
chooseSeed();
// Side by side, since a page that waits leaves a processor to the others.
const [, said] = await Promise.all([unit(), browser()]);
process.stdout.write(said);
rmSync(folder, { recursive: true, force: true });
console.log(`\n${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
process.exit(counts.failed === 0 && counts.passed > 0 ? 0 : 1);
