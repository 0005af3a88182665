import { expandGlobs } from '../node/files/glob.ts';
import { type FoundLine, factsIfMaster, factsOf, lineBy } from '../node/masters/line-of-file.ts';
import { channelFor } from '../recipe/written/channel-for.ts';
import { parseLines, usage } from './lines.ts';
import { harmless, type Streams } from './streams.ts';

/** What a masters argument may be, for the help of every verb that takes them. */
export const MASTERS_HELP = 'one master per line as LINE=FILE, or files whose header or name gives the line';

/** Whether a word names its line. */
export const namesLine = (word: string): boolean => /^[A-Za-z][^/\\=]*=/.test(word);

/**
 * Reads `S=s.fits H=h.fits` into channel → file, and files alone into the line that their header, else their name, speaks
 * of; which one is told on stderr. Several files alone of one line are combined.
 * @throws LinewashError 'usage' where no master is given, a line is not known or given twice.
 */
export const mastersFrom = async (words: readonly string[], streams: Streams): Promise<Record<string, string>> => {
  if (words.length === 0)
    throw usage('no masters given', 'add them as LINE=FILE, for example S=s.fits H=h.fits O=o.fits');
  const named = parseLines(words.filter(saysLine));
  const alone = new Map<string, string[]>();
  for (const word of await expandGlobs(words.filter((word) => !saysLine(word)))) {
    const { line, by } = await lineOf(word);
    const given = Object.keys(named).find((name) => channelFor(name, [line]) !== undefined);
    if (given !== undefined)
      throw usage(
        `${word} is ${line} by ${by}, and ${given}=${named[given]} is given`,
        `to combine both: ${given}=A,B`,
      );
    streams.err(harmless(`${line} = ${word}, by ${by}`).concat('\n'));
    alone.set(line, [...(alone.get(line) ?? []), word]);
  }
  return { ...named, ...Object.fromEntries([...alone].map(([line, files]) => [line, files.join(',')])) };
};

/** `=` after a separator of folders belongs to a path. */
const saysLine = (word: string): boolean => /^[^/\\]*=/.test(word);

const lineOf = async (word: string): Promise<FoundLine> => {
  const found = lineBy(await factsOf(word), word);
  if (found !== undefined) return found;
  throw usage(
    `neither the header nor the name of ${word} gives its line`,
    `write it as LINE=FILE, for example H=${word}`,
  );
};

/** Whether a word that names no line is a master all the same: one picture of one plane, of a line that is known. */
export const isMasterFile = async (word: string): Promise<boolean> => {
  if (!/\.(fits?|fts|tiff?)(\.gz)?([[#].*)?$/i.test(word)) return false;
  const facts = await factsIfMaster(word);
  return facts !== undefined && lineBy(facts, word) !== undefined;
};
