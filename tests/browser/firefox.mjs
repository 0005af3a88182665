import { spawnSync } from 'node:child_process';

/** The command of a Firefox on this machine (LINEWASH_FIREFOX first), or undefined: there is no package of it to fall back on. */
export const findFirefox = () =>
  [process.env.LINEWASH_FIREFOX, 'firefox-esr', 'firefox']
    .filter((command) => command !== undefined)
    .map((command) => spawnSync('sh', ['-c', 'command -v "$0"', command], { encoding: 'utf8' }).stdout.trim())
    .find((path) => path !== '');
