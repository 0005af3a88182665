// Builds everything that `npm ci` must leave ready: the library with its command, and the playground.
import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { stampAlgorithms } from './algorithms.mjs';
import { licenceTexts } from './docs-licences.mjs';
import { lightPage } from './light-page.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

const run = (script, ...words) => {
  const { status } = spawnSync(process.execPath, [script, ...words], { cwd: root, stdio: 'inherit' });
  if (status !== 0) process.exit(status ?? 1);
};

const only = process.argv[2];
if (existsSync(`${root}/tests/tools/build-kernel.mjs`)) run('tests/tools/build-kernel.mjs');
if (only !== 'page') {
  rmSync(`${root}/dist/lib`, { recursive: true, force: true });
  run('node_modules/typescript/bin/tsc', '-p', 'lib');
  stampAlgorithms(root);
  run('tests/tools/bundle-packages.mjs');
  run('tests/tools/bundle-command.mjs');
  chmodSync(`${root}/dist/lib/cli/main.js`, 0o755);
}
if (only !== 'lib' && existsSync(`${root}/playground/index.html`)) {
  run('node_modules/vite/bin/vite.js', 'build', '--logLevel', 'warn');
  writeFileSync(`${root}/dist/playground/licences.txt`, licenceTexts(root));
  if (existsSync(`${root}/dist/lib/cli/scene.js`)) await lightPage(root);
}
