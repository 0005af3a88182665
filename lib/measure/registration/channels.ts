import type { StripOptions } from '../../plane/strips.ts';
import { lineIn } from '../filters.ts';
import type { Channel } from '../measure.ts';
import { createRegistrar, type Unregistered } from './register.ts';
import type { Registered } from './report.ts';

/** How one channel lies on the reference; plain JSON. */
export type ChannelRegistration = { readonly channel: string; readonly reference: string } & (
  | Registered
  | Unregistered
);

/** The channel that the others are compared with: H, the brightest of most nebulae, or else the first. */
export const referenceOf = <T extends Channel>(channels: readonly T[]): T | undefined =>
  channels.find(({ name }) => lineIn(name) === 'H') ?? channels[0];

/** Registers every other channel against the reference. The channels may differ in size. */
export const registerChannels = async (
  channels: readonly Channel[],
  options: StripOptions = {},
): Promise<ChannelRegistration[]> => {
  const reference = referenceOf(channels);
  const register = reference && createRegistrar(reference.source);
  const result: ChannelRegistration[] = [];
  for (const channel of channels) {
    if (reference === undefined || register === undefined || channel === reference) continue;
    const found = await register(channel.source, { signal: options.signal });
    result.push({ channel: channel.name, reference: reference.name, ...found });
    options.progress?.(result.length / (channels.length - 1));
  }
  return result;
};
