import * as v from 'valibot';
import { about, expression, number, shown } from './fields.ts';
import { FINISH_RANGES, MOST_BENDS, MOST_TONE_POINTS } from './limits.ts';

/** A number in a range, or an expression over the knobs. */
const wish = ([least, most]: readonly [number, number]) =>
  v.union(
    [number(least, most), expression],
    ({ input }) => `found ${shown(input)}; expected a number from ${least} to ${most} or an expression over knobs`,
  );

const { tone, gain, from, to, until, hue, width, bendChroma } = FINISH_RANGES;

const chroma = v.strictObject({
  gain: about(
    v.optional(wish(gain)),
    'Factor on chroma: 1 changes nothing, 0 is grey, 2.2 is the most that keeps the order of chromas (default: `auto`, found so that 5 % of the pixels without stars exceed an OKLab chroma of 0.12; never below 1).',
  ),
  from: about(
    v.optional(wish(from)),
    'OKLab lightness up to which nothing changes (default: that of the sky and twice its noise).',
  ),
  to: about(v.optional(wish(to)), 'OKLab lightness from which the gain counts in full (default: `from` + 0.25).'),
  until: about(v.optional(wish(until)), 'OKLab chroma from which nothing changes (default: 0.3).'),
});

const bend = v.strictObject({
  at: about(wish(hue), 'The OKLab hue that moves, in degrees: 30 red, 75 gold, 145 green, 235 blue, 330 magenta.'),
  to: about(v.optional(wish(hue)), 'Where it goes, the shorter way round (default: it stays).'),
  width: about(v.optional(wish(width)), 'Hues further away than this stay, in degrees (default: 60).'),
  chroma: about(
    v.optional(wish(bendChroma)),
    'Factor on the chroma of that hue; below 1 it is a ceiling (default: 1).',
  ),
});

export const finish = v.strictObject({
  tone: about(
    v.optional(
      v.pipe(
        v.array(v.strictTuple([wish(tone), wish(tone)], 'a point is [in, out]')),
        v.maxLength(MOST_TONE_POINTS, `at most ${MOST_TONE_POINTS} points`),
      ),
    ),
    'A curve over OKLab lightness, 0…1: [in, out] pairs, rising; [0, 0] and [1, 1] belong to it.',
  ),
  chroma: about(
    v.optional(
      v.union([v.literal('auto'), chroma], ({ input }) => `found ${shown(input)}; expected auto or {"gain": …}`),
    ),
    'A gain on chroma that spares the sky and what is colourful already; `auto` finds all its numbers.',
  ),
  bends: about(
    v.optional(v.pipe(v.array(bend), v.maxLength(MOST_BENDS, `at most ${MOST_BENDS} bends`))),
    'Hues that move, each with its neighbours, and by how much their chroma changes.',
  ),
});
