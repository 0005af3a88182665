import { spawnSync } from 'node:child_process';

export const PYTHON = '/usr/bin/python3';

/** Whether Python has these modules; they are looked for and not loaded, which takes seconds. */
export const hasModules = (...names: string[]): boolean => {
  const script = 'import importlib.util, sys; sys.exit(not all(map(importlib.util.find_spec, sys.argv[1:])))';
  return spawnSync(PYTHON, ['-c', script, ...names]).status === 0;
};
