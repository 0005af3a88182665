import type { StripOptions } from '../plane/strips.ts';
import { filterWarnings } from './filters.ts';
import { copyWarnings } from './identity.ts';
import type { Channel } from './measure.ts';
import { type ChannelRegistration, registerChannels, registrationWarnings } from './registration/channels.ts';

export interface Together {
  readonly registration: readonly ChannelRegistration[];
  /** What does not fit, each a sentence that names the file. */
  readonly warnings: readonly string[];
}

/**
 * Whether masters belong together: each has its own filter and picture, and all lie on the same stars.
 * Reads some rows of each, all only where a channel is far off.
 */
export const fitTogether = async (channels: readonly Channel[], options: StripOptions = {}): Promise<Together> => {
  const filters = filterWarnings(
    channels.map(({ name, source }) => ({ name, file: source.file, filter: source.facts.filter })),
  );
  const copies = await copyWarnings(channels, options);
  const registration = await registerChannels(channels, options);
  return { registration, warnings: [...filters, ...copies, ...registrationWarnings(channels, registration)] };
};
