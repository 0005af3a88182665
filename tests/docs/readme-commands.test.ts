import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, linewash } from '../cli/capture.ts';

/** The commands of the README's tour, in order. */
const commands = [...readFileSync('README.md', 'utf8').matchAll(/^npx linewash (.+)$/gm)].map(([, words]) => words!);

describe('the tour of the command line in the README', () => {
  it('is found', () => {
    expect(commands.length).toBeGreaterThanOrEqual(6);
  });

  it('runs as it stands', () =>
    inFolder(async (folder) => {
      for (const command of commands) {
        const words = command.split(' ').map((word) => word.replace(/(^|=)demo(\/|$)/, `$1${join(folder, 'demo')}$2`));
        const ran = await linewash(words);
        expect(ran.code, `${command}\n${ran.err}`).toBe(0);
        const written = /-o (\S+)|--sheet (\S+)/.exec(words.join(' '));
        if (written) expect(existsSync((written[1] ?? written[2])!), command).toBe(true);
      }
    }));
});
