import { inputError } from '../../plane/errors.ts';
import { nearest } from '../../plane/name.ts';
import { neededChannels } from '../../recipe/settle/channels.ts';
import { byChannel, channelFor } from '../../recipe/written/channel-for.ts';
import type { Recipe } from '../../recipe/written/schema.ts';
import { refuseSameFile } from './masters.ts';

/** A line by its name and by a spelling of it, as H and Ha: one of the masters would be left out without a word. */
const refuseTwice = (inputs: Readonly<Record<string, string>>, needed: readonly string[]): void => {
  const seen = new Map<string, string>();
  for (const word of Object.keys(inputs)) {
    const channel = channelFor(word, needed);
    const before = channel && seen.get(channel);
    if (before !== undefined)
      throw inputError(`${before} and ${word} are both the line ${channel}`, `to combine both: ${channel}=A,B`);
    if (channel !== undefined) seen.set(channel, word);
  }
};

/** The files of the channels that a recipe uses, given by channel or by a spelling of its line. @throws LinewashError 'input' naming the missing lines. */
export const inputsFor = (recipe: Recipe, inputs: Readonly<Record<string, string>>): Record<string, string> => {
  const needed = neededChannels(recipe);
  const found = byChannel(inputs, needed);
  refuseTwice(inputs, needed);
  const missing = needed.filter((name) => !found.has(name));
  if (missing.length > 0) {
    const given = Object.keys(inputs);
    const near = given.find((name) => channelFor(name, needed) === undefined && nearest(name, missing) !== undefined);
    const example = missing.map((name) => `${name}=FILE`).join(' ');
    throw inputError(
      `no master for ${missing.join(', ')} (given: ${given.join(', ') || 'none'})`,
      `${near === undefined ? '' : `did you mean ${nearest(near, missing)} by ${near}? `}add ${example}`,
    );
  }
  const files = Object.fromEntries(needed.map((name) => [name, found.get(name)!]));
  refuseSameFile(files);
  return files;
};
