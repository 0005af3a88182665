import type { StripOptions } from '../../plane/strips.ts';
import { lineIn } from '../filters.ts';
import type { Channel } from '../measure.ts';
import { type Registered, registerPair, type Unregistered } from './register.ts';
import { misfitInWords } from './words.ts';

/** How one channel lies on the reference; plain JSON. */
export type ChannelRegistration = { readonly channel: string; readonly reference: string } & (
  | Registered
  | Unregistered
);

/** The channel that the others are compared with: H, the brightest of most nebulae, or else the first. */
export const referenceOf = (channels: readonly Channel[]): Channel | undefined =>
  channels.find(({ name }) => lineIn(name) === 'H') ?? channels[0];

/** Registers every other channel against the reference. The channels may differ in size. */
export const registerChannels = async (
  channels: readonly Channel[],
  options: StripOptions = {},
): Promise<ChannelRegistration[]> => {
  const reference = referenceOf(channels);
  const result: ChannelRegistration[] = [];
  for (const channel of channels) {
    if (reference === undefined || channel === reference) continue;
    const found = await registerPair(reference.source, channel.source, { signal: options.signal });
    result.push({ channel: channel.name, reference: reference.name, ...found });
    options.progress?.(result.length / (channels.length - 1));
  }
  return result;
};

/** A channel that does not lie on the reference, or of which that cannot be said. */
export interface RegistrationFault {
  readonly name: string;
  readonly words: string;
}

export const registrationFaults = (
  channels: readonly Channel[],
  registrations: readonly ChannelRegistration[],
): RegistrationFault[] =>
  registrations.flatMap((found) => {
    const source = channels.find(({ name }) => name === found.channel)!.source;
    const { width, height } = channels.find(({ name }) => name === found.reference)!.source;
    const words =
      found.status === 'found'
        ? misfitInWords(found, { channel: found.channel, reference: found.reference, width, height })
        : `whether ${found.channel} lies on ${found.reference} is unknown: ${found.reason}`;
    return words === undefined ? [] : [{ name: found.channel, words: `${source.file}: ${words}` }];
  });
