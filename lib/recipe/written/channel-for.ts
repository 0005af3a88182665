import { lineIn } from '../../measure/filters.ts';

/**
 * The channel that a word stands for, by the rules by which headers and names are read: the channel of that name, else of
 * that name in other capitals, else the only one of the same line (`Ha` for H, `OIII` for O). Undefined for none.
 */
export const channelFor = (word: string, channels: readonly string[]): string | undefined => {
  if (channels.includes(word)) return word;
  const same = channels.find((name) => name.toLowerCase() === word.toLowerCase());
  if (same !== undefined) return same;
  const line = lineIn(word);
  const alike = line === undefined ? [] : channels.filter((name) => lineIn(name) === line);
  return alike.length === 1 ? alike[0] : undefined;
};

/** Values given by the names or spellings of lines, by the channels they stand for; what stands for none is left out. */
export const byChannel = <T>(given: Readonly<Record<string, T>>, channels: readonly string[]): Map<string, T> => {
  const found = new Map<string, T>();
  for (const [word, value] of Object.entries(given)) {
    const channel = channelFor(word, channels);
    // A channel's own name counts for more than a spelling of its line.
    if (channel !== undefined && (word === channel || !found.has(channel))) found.set(channel, value);
  }
  return found;
};
