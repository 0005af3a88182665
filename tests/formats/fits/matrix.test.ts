import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { hasModules, PYTHON } from '../../tools/python.ts';
import { checkFile, readManifest } from './expected.ts';

const hasAstropy = hasModules('astropy', 'numpy');
const script = fileURLToPath(new URL('./make_fixtures.py', import.meta.url));

// The whole matrix is written anew each time, so its script is tested too.
describe.skipIf(!hasAstropy)('matrix of files of independent writers', () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-fits-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  if (hasAstropy) execFileSync(PYTHON, [script, folder]);
  const rows = hasAstropy ? readManifest(folder) : [];

  it('has at least 140 files where fpack is installed', () => {
    expect(rows.length).toBeGreaterThan(spawnSync('fpack', ['-H']).error ? 110 : 140);
  });

  it.each(rows.map((row) => [row.values, row] as const))('%s', async (_, row) => {
    await checkFile(folder, row);
  });
});
