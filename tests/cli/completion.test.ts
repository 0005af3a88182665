import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, linewash } from './capture.ts';

const has = (shell: string) => spawnSync(shell, ['--version']).error === undefined;

const scriptOf = async (shell: string): Promise<string> => {
  const ran = await linewash(['completion', shell]);
  expect([ran.code, ran.err]).toEqual([0, '']);
  return ran.out;
};

/** Every option of every verb, as the help has it. */
const optionsByHelp = async (...path: string[]): Promise<[path: string, option: string][]> => {
  const { out } = await linewash([...path, '--help']);
  const own = [...out.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map(
    ([, name]) => [path.join(' '), name!] as [string, string],
  );
  const list = out.split('\nCommands:\n')[1]?.split('\n\n')[0] ?? '';
  const names = [...list.matchAll(/^ {2}([a-z]+)/gm)].map(([, name]) => name!).filter((name) => name !== 'help');
  return [...own, ...(await Promise.all(names.map((name) => optionsByHelp(...path, name)))).flat()];
};

describe('linewash completion', () => {
  it.runIf(has('bash'))('knows in bash every verb and option of the help, and their choices', () =>
    inFolder(async (folder) => {
      const script = join(folder, 'completion.bash');
      writeFileSync(script, await scriptOf('bash'));
      const lines: string[][] = [];
      const ask = (...words: string[]) => lines.push(words);
      const all = await optionsByHelp();
      expect(all.length).toBeGreaterThan(100);
      for (const [path, option] of all) ask(...path.split(' ').filter(Boolean), option);
      ask('m');
      ask('recipe', 's');
      ask('mix', 'hoo', '--space', '');
      ask('mix', '--output', '');
      ask('batch', 'init', 'folder', '--rec');
      // One shell answers all: each line of words, and what it would complete the last to.
      const asked = lines.map(
        (words) =>
          `COMP_WORDS=(linewash ${words.map((word) => `'${word}'`).join(' ')}); COMP_CWORD=${words.length}; _linewash; echo "\${COMPREPLY[*]}"`,
      );
      const ran = spawnSync('bash', ['-c', `source '${script}'\n${asked.join('\n')}`], { encoding: 'utf8' });
      expect([ran.status, ran.stderr]).toEqual([0, '']);
      const answers = ran.stdout
        .trimEnd()
        .split('\n')
        .map((line) => line.split(' '));
      for (const [i, [path, option]] of all.entries()) expect(answers[i], `${path} ${option}`).toContain(option);
      expect(answers.slice(all.length)).toEqual([
        ['mix', 'measure'].sort().reverse(),
        ['show', 'settle'],
        ['srgb', 'display-p3', 'srgb-linear'],
        [''],
        ['--recipes'],
      ]);
    }),
  );

  it('prints scripts that name every verb for zsh and fish too', async () => {
    for (const shell of ['zsh', 'fish']) {
      const script = await scriptOf(shell);
      for (const word of ['starless', 'neutral-stars', 'display-p3']) expect(script).toContain(word);
    }
    expect((await linewash(['completion', 'csh'])).code).toBe(2);
  });

  it.runIf(has('zsh'))('prints what zsh can read', async () => {
    const ran = spawnSync('zsh', ['-n'], { input: await scriptOf('zsh'), encoding: 'utf8' });
    expect([ran.status, ran.stderr]).toEqual([0, '']);
  });

  it.runIf(has('fish'))('completes in fish', () =>
    inFolder(async (folder) => {
      const script = join(folder, 'linewash.fish');
      writeFileSync(script, await scriptOf('fish'));
      const asked = ['linewash star', 'linewash mix hoo --space ', 'linewash recipe sh', 'linewash batch --wat'];
      const words = [`source '${script}'`, ...asked.map((line) => `complete -C '${line}'`)].join('; ');
      const ran = spawnSync('fish', ['-c', words], { encoding: 'utf8', env: { ...process.env, HOME: folder } });
      for (const found of ['starless', 'display-p3', 'show', '--watch'])
        expect(ran.stdout, ran.stderr).toContain(found);
    }),
  );
});
