// The page's worker ended fifty times, every way out of the page, a thousand gestures: end-to-end tests in full counts.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const FILES = ['hardening', 'gestures'];

export const pageInFull = (folder) => {
  const faults = [];
  const said = [];
  let passed = 0;
  for (const file of FILES) {
    const counts = join(folder, `${file}.json`);
    const { stdout, stderr } = spawnSync(
      process.execPath,
      ['tests/browser/run.mjs', `e2e/${file}`, `--counts=${counts}`],
      { cwd: root, encoding: 'utf8', maxBuffer: 1 << 26, env: { ...process.env, LINEWASH_FULL: '1' } },
    );
    const ran = existsSync(counts) ? JSON.parse(readFileSync(counts, 'utf8')) : { passed: 0, failed: 1 };
    passed += ran.passed;
    said.push(...(/worker ended .*/.exec(stdout) ?? []));
    if (ran.failed > 0 || ran.passed === 0) faults.push(`${file}: ${stdout.slice(-4000)}\n${stderr.slice(-1000)}`);
  }
  return { passed, said, faults };
};
