/** A verb with all that may follow it. */
export interface Completable {
  /** The words that lead to it: `recipe check`; empty for what stands first. */
  readonly path: string;
  /** Verbs below it, with what they do in a few words. */
  readonly verbs: readonly { readonly name: string; readonly about: string }[];
  readonly options: readonly {
    /** `--force`, `-o`. */
    readonly flags: readonly string[];
    readonly about: string;
    /** Whether a value follows it. */
    readonly takesValue: boolean;
    /** The values that it takes, where these are few. */
    readonly choices: readonly string[];
  }[];
}

export type Shell = 'bash' | 'zsh' | 'fish';

/** Inside single quotes of a shell. */
const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;

/** What bash offers after the words of a verb; files everywhere else, as without completion. */
const bash = (verbs: readonly Completable[]): string => {
  const words = verbs.map(({ path, verbs: below, options }) => {
    const all = [...below.map(({ name }) => name), ...options.flatMap(({ flags }) => flags)];
    return `    ${quoted(path)}) words=${quoted(all.join(' '))} ;;`;
  });
  const values = verbs.flatMap(({ path, options }) =>
    options
      .filter(({ takesValue }) => takesValue)
      .flatMap(({ flags, choices }) =>
        flags.map((flag) => `    ${quoted(`${path} ${flag}`)}) words=${quoted(choices.join(' '))} ;;`),
      ),
  );
  const paths = verbs.map(({ path }) => path).filter((path) => path !== '');
  return `# bash completion of linewash: source <(linewash completion bash)
_linewash() {
  local cur=\${COMP_WORDS[COMP_CWORD]} prev=\${COMP_WORDS[COMP_CWORD-1]} path='' words='' i
  COMPREPLY=()
  for ((i = 1; i < COMP_CWORD; i++)); do
    case "\${path:+$path }\${COMP_WORDS[i]}" in
      ${paths.map(quoted).join('|')}) path="\${path:+$path }\${COMP_WORDS[i]}" ;;
      *) break ;;
    esac
  done
  case "$path $prev" in
${values.join('\n')}
    *)
  case "$path" in
${words.join('\n')}
  esac ;;
  esac
  mapfile -t COMPREPLY < <(compgen -W "$words" -- "$cur")
}
complete -o default -o bashdefault -F _linewash linewash
`;
};

/** In a list of zsh, what comes after a colon describes the word before it. */
const described = (name: string, about: string): string => quoted(`${name.replaceAll(':', '\\:')}:${about}`);

const zsh = (verbs: readonly Completable[]): string => {
  const cases = verbs.map(({ path, verbs: below, options }) => {
    const list = [
      ...below.map(({ name, about }) => described(name, about)),
      ...options.flatMap(({ flags, about }) => flags.map((flag) => described(flag, about))),
    ];
    return `    ${quoted(path)}) words_here=(${list.join(' ')}) ;;`;
  });
  const values = verbs.flatMap(({ path, options }) =>
    options
      .filter(({ takesValue }) => takesValue)
      .flatMap(({ flags, choices }) =>
        flags.map(
          (flag) => `    ${quoted(`${path} ${flag}`)}) values=(${choices.map(quoted).join(' ')}); has_value=1 ;;`,
        ),
      ),
  );
  const paths = verbs.map(({ path }) => path).filter((path) => path !== '');
  return `#compdef linewash
# zsh completion of linewash: source <(linewash completion zsh)
_linewash() {
  local path_here='' i has_value=0
  local -a words_here values
  for ((i = 2; i < CURRENT; i++)); do
    case "\${path_here:+$path_here }\${words[i]}" in
      ${paths.map(quoted).join('|')}) path_here="\${path_here:+$path_here }\${words[i]}" ;;
      *) break ;;
    esac
  done
  case "$path_here \${words[CURRENT-1]}" in
${values.join('\n')}
  esac
  if ((has_value)); then
    if ((\${#values})); then compadd -- $values; else _files; fi
    return
  fi
  case "$path_here" in
${cases.join('\n')}
  esac
  _describe 'linewash' words_here
  _files
}
compdef _linewash linewash
`;
};

const fish = (verbs: readonly Completable[]): string => {
  const lines = verbs.flatMap(({ path, verbs: below, options }) => {
    const after =
      path === ''
        ? '__fish_use_subcommand'
        : path
            .split(' ')
            .map((word) => `__fish_seen_subcommand_from ${word}`)
            .join('; and ');
    const names = below.map(({ name }) => name);
    const first =
      path === '' || names.length === 0 ? after : `${after}; and not __fish_seen_subcommand_from ${names.join(' ')}`;
    return [
      ...below.map(
        ({ name, about }) => `complete -c linewash -n ${quoted(first)} -a ${quoted(name)} -d ${quoted(about)}`,
      ),
      ...options.map(({ flags, about, takesValue, choices }) => {
        const spelt = flags.map((flag) => (flag.startsWith('--') ? `-l ${flag.slice(2)}` : `-s ${flag.slice(1)}`));
        const value = !takesValue ? '' : choices.length > 0 ? ` -x -a ${quoted(choices.join(' '))}` : ' -r';
        return `complete -c linewash -n ${quoted(after)} ${spelt.join(' ')}${value} -d ${quoted(about)}`;
      }),
    ];
  });
  return `# fish completion of linewash: linewash completion fish > ~/.config/fish/completions/linewash.fish\n${lines.join('\n')}\n`;
};

/** The script that teaches a shell all verbs, options and choices. */
export const completionScript: Readonly<Record<Shell, (verbs: readonly Completable[]) => string>> = { bash, zsh, fish };
