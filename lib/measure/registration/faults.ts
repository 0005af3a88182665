import type { Channel } from '../measure.ts';
import type { ChannelRegistration } from './channels.ts';
import type { Registered } from './report.ts';
import { apartBy, doubtOf, isMisfit, misfitInWords, reversed } from './words.ts';

/** A channel that does not lie on the reference, or of which that cannot be said. */
export interface RegistrationFault {
  readonly name: string;
  readonly words: string;
}

type Found = ChannelRegistration & Registered;

/**
 * What does not lie where it belongs, and only what the pictures can tell: a channel is named alone where others show
 * that the reference is in place; where all others agree against the reference, that is named; else both of a pair are.
 */
export const registrationFaults = (
  channels: readonly Channel[],
  registrations: readonly ChannelRegistration[],
): RegistrationFault[] => {
  const sourceOf = (name: string) => channels.find((channel) => channel.name === name)!.source;
  const [first] = registrations;
  if (first === undefined) return [];
  const { file, width, height } = sourceOf(first.reference);
  const size = { width, height };
  const found = registrations.filter((r): r is Found => r.status === 'found');
  const off = found.filter((r) => isMisfit(r, size));
  const unknown = registrations.flatMap((r) =>
    r.status === 'unknown' ? [unknownFault(r, sourceOf(r.channel).file)] : [],
  );
  if (off.length > 1 && off.length === found.length && agree(off, size))
    return [referenceFault(off, file, size), ...unknown];
  const alone = off.length < found.length || off.length > 1;
  const faults = off.map((r) => {
    const words = misfitInWords(r, { ...size, channel: r.channel, reference: r.reference })!;
    const { file: own } = sourceOf(r.channel);
    return { name: r.channel, words: alone ? `${own}: ${words}` : `${own} and ${file} do not fit: ${words}` };
  });
  return [...faults, ...unknown];
};

const unknownFault = (r: ChannelRegistration & { reason: string }, file: string): RegistrationFault => ({
  name: r.channel,
  words: `${file}: whether ${r.channel} lies on ${r.reference} is unknown: ${r.reason}.`,
});

/** Whether all put the reference in the same wrong place, as far as can be measured. */
const agree = ([one, ...others]: readonly Found[], size: { width: number; height: number }): boolean =>
  others.every(
    (other) => apartBy(one!, other, size) < Math.max(0.5, 3 * Math.hypot(doubtOf(one!, size), doubtOf(other, size))),
  );

const referenceFault = (
  off: readonly Found[],
  file: string,
  size: { width: number; height: number },
): RegistrationFault => {
  const best = off.reduce((p, q) => (doubtOf(q, size) < doubtOf(p, size) ? q : p));
  const names = off.map(({ channel }) => channel);
  const reference = `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  const placed = { ...size, channel: best.reference, reference };
  const words = misfitInWords(reversed(best), placed) ?? misfitInWords(best, { ...placed, channel: reference })!;
  return { name: best.reference, words: `${file}: ${words}` };
};
