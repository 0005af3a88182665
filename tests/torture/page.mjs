// The page's worker ended fifty times, and every way out of the page: the end-to-end tests of both in full counts.
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

export const pageInFull = (folder) => {
  const counts = join(folder, 'page.json');
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['tests/browser/run.mjs', 'hardening', `--counts=${counts}`],
    { cwd: root, encoding: 'utf8', maxBuffer: 1 << 26, env: { ...process.env, LINEWASH_FULL: '1' } },
  );
  const { passed, failed } = status === null ? { passed: 0, failed: 1 } : JSON.parse(readFileSync(counts, 'utf8'));
  const said = /worker ended .*/.exec(stdout)?.[0];
  return { passed, said, faults: status === 0 && failed === 0 ? [] : [stdout.slice(-4000), stderr.slice(-1000)] };
};
