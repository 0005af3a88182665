import type { Match } from '../prepare/match.ts';
import type { Settled } from './settled.ts';

/** A channel that may have been combined from several masters. */
export interface Combinable {
  readonly name: string;
  /** How they were combined; absent for one master. */
  readonly match?: Match | undefined;
}

/** What is to be said of masters that were combined from several files: the gain, and what stood in its way. */
export const combinationNotes = (masters: readonly Combinable[]): string[] =>
  masters.flatMap(({ name, match }) => {
    if (match === undefined) return [];
    const shares = match.parts.map(({ weight }) => `${Math.round(100 * weight)} %`).join(' + ');
    const gain = `${name}: ${match.parts.length} masters combined (${shares}): ${match.gain.toFixed(2)} × less noise than the best of them`;
    return [gain, ...match.warnings];
  });

/** Settled numbers with what combining did to the masters. */
export const withCombinations = (settled: Settled, masters: readonly Combinable[]): Settled => ({
  ...settled,
  channels: settled.channels.map((channel) => {
    const match = masters.find(({ name }) => name === channel.name)?.match;
    if (match === undefined) return channel;
    const parts = match.parts.map(({ source, scale, offset, weight }) => ({
      // A note names files without their folders.
      file: source.file.replace(/^.*[\\/]/, ''),
      scale,
      offset,
      weight,
    }));
    return { ...channel, combined: parts };
  }),
});
