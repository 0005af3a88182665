import { Argument, type Command } from 'commander';
import { VERSION } from '../plane/version.ts';
import { type Completable, completionScript, type Shell } from './completion-scripts.ts';
import { examples, type Verb } from './verb.ts';

/** The verbs of a command and below it, from what their help is made of. */
const completables = (command: Command, path = ''): Completable[] => {
  const help = command.createHelp();
  const below = help.visibleCommands(command).filter((verb) => verb.name() !== 'help');
  const own: Completable = {
    path,
    verbs: below.map((verb) => ({ name: verb.name(), about: firstSentence(verb.summary() || verb.description()) })),
    options: help.visibleOptions(command).map(({ short, long, description, required, optional, argChoices }) => ({
      flags: [long, short].filter((flag) => flag !== undefined),
      about: description,
      takesValue: required || optional,
      choices: argChoices ?? [],
    })),
  };
  return [own, ...below.flatMap((verb) => completables(verb, path === '' ? verb.name() : `${path} ${verb.name()}`))];
};

const firstSentence = (text: string): string => text.replace(/\.(\s.*)?$/s, '');

/**
 * `linewash completion`: a script by which a shell completes verbs and options.
 * @param all adds every verb to a program
 */
export const completionOf =
  (all: (program: Command) => Promise<void>): Verb =>
  (program, { streams }) => {
    program
      .command('completion')
      .summary('print a script by which a shell completes verbs and options')
      .description('Prints a script by which a shell completes verbs, options and their choices.')
      .addArgument(new Argument('<shell>', 'the shell').choices(['bash', 'zsh', 'fish']))
      .addHelpText(
        'after',
        examples(
          'source <(linewash completion bash)',
          'source <(linewash completion zsh)',
          'linewash completion fish > ~/.config/fish/completions/linewash.fish',
        ),
      )
      .action(async (shell: Shell) => {
        const whole = program.createCommand('linewash').version(VERSION);
        await all(whole);
        streams.out(completionScript[shell](completables(whole)));
      });
  };
