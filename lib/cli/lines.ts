import { lineIn } from '../measure/filters.ts';
import { LinewashError } from '../plane/errors.ts';
import { CHANNEL_NAME } from '../plane/name.ts';

export const usage = (message: string, advice: string) => new LinewashError({ tag: 'usage', message, advice });

/**
 * Reads `S=s.fits H=h.fits` into channel → file.
 * @throws LinewashError 'usage' for anything else, and where a line is given twice.
 */
export const parseLines = (words: readonly string[]): Record<string, string> => {
  const files: Record<string, string> = {};
  for (const word of words) {
    const at = word.indexOf('=');
    const name = nameIn(word.slice(0, Math.max(0, at)));
    const file = word.slice(at + 1);
    if (name === undefined || file === '')
      throw usage(
        `${JSON.stringify(word)} is not LINE=FILE`,
        'write each master as LINE=FILE, for example H=halpha.fits',
      );
    if (Object.hasOwn(files, name)) throw usage(`the line ${name} is given twice`, 'give each line once');
    files[name] = file;
  }
  return files;
};

/** A channel's name as it stands; a spelling of a line that cannot be one, as `Hα` or `O III`, as the line's name. */
const nameIn = (text: string): string | undefined => (CHANNEL_NAME.test(text) ? text : lineIn(text));
