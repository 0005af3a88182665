/** The words of a command line as a POSIX shell would split them, as far as `shellWord` quotes. */
export const shellWords = (line: string): string[] =>
  (line.match(/(?:[^\s'"\\]|\\.|'[^']*'|"[^"]*")+/g) ?? []).map((word) =>
    word.replace(/'([^']*)'|"([^"]*)"|\\(.)/g, (_, single, double, plain) => single ?? double ?? plain ?? ''),
  );

/** What a command line of linewash says of the mix: the recipe's name or link, and knobs. */
export interface ReadCommand {
  readonly recipe: string;
  readonly knobs: Readonly<Record<string, number>>;
}

/** Reads `linewash mix RECIPE … --knob name=value`; undefined for anything else. */
export const readCommand = (line: string): ReadCommand | undefined => {
  const words = shellWords(
    line
      .trim()
      .replace(/^\$\s+/, '')
      .replace(/\\\n/g, ' '),
  );
  const at = words.findIndex((word, i) => word === 'mix' && /(^|[\\/])linewash$/.test(words[i - 1] ?? ''));
  const recipe = words[at + 1];
  if (at < 0 || recipe === undefined) return undefined;
  const knobs = words.flatMap((word, i) => {
    const given = word === '--knob' ? words[i + 1] : /^--knob=(.*)$/.exec(word)?.[1];
    const [, name, value] = /^(\w+)=([-+.\de]+)$/i.exec(given ?? '') ?? [];
    return name === undefined || !Number.isFinite(Number(value)) ? [] : [[name, Number(value)] as const];
  });
  return { recipe, knobs: Object.fromEntries(knobs) };
};
