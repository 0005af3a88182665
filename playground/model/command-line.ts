import { fileStem } from './file-name.ts';

/** A word for a POSIX shell: as it is where every character is harmless, else in single quotes. */
export const shellWord = (word: string): string =>
  /^[\w./=:@%+,-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;

/** The command that makes this picture at full size from these masters. */
export const commandLine = (
  recipe: string,
  masters: readonly { readonly line: string; readonly file: string }[],
  name: string,
  {
    crop,
    legend,
    stars = [],
  }: { readonly crop?: boolean; readonly legend?: boolean; readonly stars?: readonly string[] } = {},
): string => {
  const files = new Map<string, string[]>();
  for (const { line, file } of masters) if (line !== '') files.set(line, [...(files.get(line) ?? []), file]);
  const lines = [...files].map(([line, names]) => `${line}=${names.join(',')}`);
  const more = [
    ...(stars.length > 0 ? ['--stars', stars.join(',')] : []),
    ...(crop ? ['--crop'] : []),
    ...(legend ? ['--legend'] : []),
  ];
  return ['linewash', 'mix', recipe, ...lines, ...more, '-o', `${fileStem(name)}.tif`].map(shellWord).join(' ');
};
