import type { Channel } from '../../measure/measure.ts';
import { inputError } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { withoutSurface } from '../../prepare/background/surface.ts';
import { lessContinuum } from '../../prepare/continuum.ts';
import type { SettledChannel } from './settled.ts';

/** The settled numbers that prepare a channel's pixels. */
export interface Preparing {
  readonly channels: readonly Pick<SettledChannel, 'name' | 'surface' | 'continuum'>[];
}

/**
 * The sources that settled numbers apply to, in their order: each channel less its surface and its continuum. Where
 * there is nothing to take off, the source itself. Pictures of any size do, for surfaces live in the frame: a smaller
 * copy of all masters gives a smaller copy of the result. Cut parts out afterwards, not before.
 * @throws LinewashError 'input' where a channel has no source.
 */
export const preparedChannels = (settled: Preparing, channels: readonly Channel[]): Channel[] => {
  const sourceOf = (name: string): PlaneSource => {
    const found = channels.find((c) => c.name === name);
    if (found === undefined) throw inputError(`no master is given for ${name}`, `give the channel ${name} too`);
    return found.source;
  };
  return settled.channels.map(({ name, surface, continuum }) => {
    const plain = sourceOf(name);
    const even = surface ? withoutSurface(plain, surface) : plain;
    if (continuum === undefined) return { name, source: even };
    const broad = sourceOf(continuum.from);
    const evenBroad = continuum.surface ? withoutSurface(broad, continuum.surface) : broad;
    return { name, source: lessContinuum(even, evenBroad, continuum.k, continuum.background) };
  });
};
