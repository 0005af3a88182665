// A temporary folder of the run's own, so that tests leave nothing behind, also where one is stopped half-way.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** What runs after this call writes its temporary files there; what is returned takes all of them away. */
export default () => {
  const before = process.env.TMPDIR;
  const folder = mkdtempSync(join(tmpdir(), 'linewash-tests-'));
  process.env.TMPDIR = folder;
  return () => {
    if (before === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = before;
    try {
      rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    } catch {
      // A browser may still write as it ends; that must not fail tests that passed.
    }
  };
};
