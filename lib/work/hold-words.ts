import type { Conflict, HeldMix, PlaceName } from '../recipe/suggest/hold.ts';

/** Places whose light differs by no more than this (by the cosine) can hardly be given two hues. */
const ALIKE = 0.99;

/** A place as people count. */
export const placeWords = (place: PlaceName): string => (place === 'sky' ? 'the sky' : `place ${place + 1}`);

/** Why places miss their colours, one sentence each. */
export const conflictWarnings = (held: HeldMix): string[] =>
  held.conflicts.map((conflict) => {
    const { place } = conflict;
    const { left } = place === 'sky' ? held.sky : held.places[place]!;
    return `${placeWords(place)} misses its colour by ${left.toFixed(3)}: ${reason(conflict, held)}`;
  });

const reason = ({ like, cosine }: Conflict, { loosened }: HeldMix): string => {
  if (cosine > ALIKE)
    return `its lines have nearly the ratios of ${placeWords(like)} (cosine ${cosine.toFixed(4)}), so these two conflict`;
  if (loosened) return 'to come closer, the noise would rise above 1.5 times what it was';
  return 'the lines cannot give all of these colours at once';
};
