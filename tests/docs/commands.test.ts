import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, linewash } from '../cli/capture.ts';

/** The commands that a page shows, in order. */
const commandsOf = (page: string) =>
  [...readFileSync(page, 'utf8').matchAll(/^npx linewash (.+)$/gm)].map(([, words]) => words!);

describe.each(['README.md', 'docs/tasks.md'])('the commands of %s', (page) => {
  const commands = commandsOf(page);

  it('are found', () => {
    expect(commands.length).toBeGreaterThanOrEqual(6);
  });

  it('run as they stand', { timeout: 240_000 }, () =>
    inFolder(async (folder) => {
      for (const command of commands) {
        const [line] = command.split(' > ');
        const words = line!.split(' ').map((word) => word.replace(/(^|=)demo(\/|$)/, `$1${join(folder, 'demo')}$2`));
        const ran = await linewash(words);
        expect(ran.code, `${command}\n${ran.err}`).toBe(0);
        const written = /-o (\S+)|--sheet (\S+)/.exec(words.join(' '));
        if (written) expect(existsSync((written[1] ?? written[2])!), command).toBe(true);
      }
    }),
  );
});
