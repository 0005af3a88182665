import type { StripOptions } from '../plane/strips.ts';
import { type FilterFault, filterFaults } from './filters.ts';
import { type CopyFault, copyFaults } from './identity.ts';
import type { Channel } from './measure.ts';
import { type ChannelRegistration, registerChannels } from './registration/channels.ts';
import { type RegistrationFault, registrationFaults } from './registration/faults.ts';

/** Something that does not fit, of whichever kind. */
export type Misfit =
  | ({ readonly kind: 'filter' } & FilterFault)
  | ({ readonly kind: 'copy' } & CopyFault)
  | ({ readonly kind: 'registration' } & RegistrationFault);

/** How masters lie on one another, and what does not fit. */
export interface Together {
  readonly registration: readonly ChannelRegistration[];
  readonly misfits: readonly Misfit[];
  /** What does not fit, each a sentence that names the file. */
  readonly warnings: readonly string[];
}

/**
 * Whether masters belong together: each has its own filter and picture, and all lie on the same stars.
 * Reads some rows of each, all only where a channel is far off.
 */
export const fitTogether = async (channels: readonly Channel[], options: StripOptions = {}): Promise<Together> => {
  const copies = await copyFaults(channels, options);
  const registration = await registerChannels(channels, options);
  const misfits = misfitsOf(channels, { copies, registration });
  return { registration, misfits, warnings: misfits.map(({ words }) => words) };
};

/** What does not fit by the headers, and by what was found of the pictures. */
export const misfitsOf = (
  channels: readonly Channel[],
  { copies, registration }: { copies: readonly CopyFault[]; registration: readonly ChannelRegistration[] },
): Misfit[] => {
  const named = channels.map(({ name, source }) => ({ name, file: source.file, filter: source.facts.filter }));
  return [
    ...filterFaults(named).map((fault) => ({ kind: 'filter' as const, ...fault })),
    ...copies.map((fault) => ({ kind: 'copy' as const, ...fault })),
    ...registrationFaults(channels, registration).map((fault) => ({ kind: 'registration' as const, ...fault })),
  ];
};
