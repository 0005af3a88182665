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

/** That a weight is large and what comes of it, in one sentence; nothing where none is. */
export const largeWeightWarnings = ({ large }: HeldMix): string[] => {
  if (large === undefined) return [];
  const { channel, colour, weight } = large;
  const times = Math.abs(weight).toFixed(1);
  return [
    `the weight of ${channel} in ${colour} is ${weight.toFixed(2)}, so errors of ${channel} such as an uneven sky show ${times} times as strongly: hold places whose lines differ more, or ask for weaker colours`,
  ];
};

const reason = ({ like, cosine }: Conflict, { loosened }: HeldMix): string => {
  if (cosine > ALIKE)
    return `its lines have nearly the ratios of ${placeWords(like)} (cosine ${cosine.toFixed(4)}), so these two conflict`;
  if (loosened) return 'to come closer, the noise would rise above 1.5 times what it was';
  return 'the lines cannot give all of these colours at once';
};
