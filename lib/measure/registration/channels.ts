import type { StripOptions } from '../../plane/strips.ts';
import { lineIn } from '../filters.ts';
import type { Channel } from '../measure.ts';
import { placeAll } from './place-pieces.ts';
import type { Unregistered } from './register.ts';
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
  if (reference === undefined) return [];
  const others = channels.filter((channel) => channel !== reference);
  const sources = others.map(({ source }) => source);
  const places = await placeAll(reference.source, sources, { glances: false }, options);
  return places.map((place, i) => ({ channel: others[i]!.name, reference: reference.name, ...place }));
};
