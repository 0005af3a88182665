import { LinewashError } from '../plane/errors.ts';
import { nearest } from '../plane/name.ts';
import { channelFor } from '../recipe/written/channel-for.ts';

/** Values by line; `*` stands for all lines that have none of their own. */
export type ByLine<T> = Readonly<Record<string, T>>;

/**
 * Values given by the names or spellings of lines, as `Ha` for H, under the lines' own names.
 * @param option what the values are called where they are given
 * @throws LinewashError 'usage' where a line is not there.
 */
export const underLineNames = <T>(option: string, values: ByLine<T>, lines: readonly string[]): ByLine<T> =>
  Object.fromEntries(Object.entries(values).map(([word, value]) => [lineNamed(option, word, lines), value]));

const lineNamed = (option: string, word: string, lines: readonly string[]): string => {
  const name = word === '*' ? word : channelFor(word, lines);
  if (name !== undefined) return name;
  const near = nearest(word, lines);
  throw new LinewashError({
    tag: 'usage',
    message: `${option}: there is no line ${JSON.stringify(word)}`,
    advice: `${near ? `did you mean ${near}? ` : ''}lines: ${lines.join(', ')}`,
  });
};
