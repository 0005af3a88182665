import { spawnSync } from 'node:child_process';

/**
 * The command of a Firefox on this machine, or undefined: there is no package of it to fall back on. Only the one that
 * Debian installs is taken by itself; others may live in a sandbox that sees no temporary files, and are named by the variable.
 */
export const findFirefox = () =>
  [process.env.LINEWASH_FIREFOX, 'firefox-esr']
    .filter((command) => command !== undefined)
    .map((command) => spawnSync('sh', ['-c', 'command -v "$0"', command], { encoding: 'utf8' }).stdout.trim())
    .find((path) => path !== '');
