import { displayChange } from './chroma-plane.ts';
import { warmth } from './lines.ts';
import { affordable, BUDGET, type Proposal } from './proposal.ts';
import type { LineSample } from './sample.ts';

/** OKLab hue of the coolest line. */
const COOL = 250;
/** A line may weigh at most this share of the other two together, or no three hues would cancel. */
const CLOSED = 0.9;

/**
 * Hues at which three colours of given strengths cancel to grey: the directions of the sides of the triangle with these
 * lengths, in degrees, the first at 0. A side longer than the others allow is shortened.
 */
export const cancellingHues = (strengths: readonly [number, number, number]): [number, number, number] => {
  const [p, q, r] = strengths.map((s, i) => {
    const others = strengths.reduce((sum, t, j) => (j === i ? sum : sum + t), 0);
    return Math.min(s, CLOSED * others);
  }) as [number, number, number];
  // Sides p, q, r end to end: the angle between two of them follows from the law of cosines.
  const turn = (a: number, b: number, opposite: number) =>
    180 - (Math.acos((a * a + b * b - opposite * opposite) / (2 * a * b)) * 180) / Math.PI;
  return [0, turn(p, q, r), -turn(p, r, q)];
};

/**
 * Every line moves lightness and chroma as much as the others: weights go with the inverse of its scatter, and the three
 * hues are those at which the background stays grey. The coolest line is blue, the middle one red.
 */
export const equalPresence = (sample: LineSample): Proposal => {
  const scatter = sample.covariance.map((row, i) => Math.sqrt(row[i]!));
  const total = scatter.reduce((sum, s) => sum + 1 / s, 0);
  const weights = scatter.map((s) => 1 / s / total);
  const order = warmest(sample.names);
  const [cool, middle, warm] = [order[2]!, order[1]!, order[0]!];
  const hues = cancellingHues([weights[cool]!, weights[middle]!, weights[warm]!]);
  const change = [0, 1, 2].map(() => new Array<number>(3).fill(0));
  for (const [k, line] of [cool, middle, warm].entries()) {
    const hue = ((COOL + hues[k]!) * Math.PI) / 180;
    const moved = displayChange(weights[line]! * Math.cos(hue), weights[line]! * Math.sin(hue));
    for (let r = 0; r < 3; r++) change[r]![line] = moved[r]!;
  }
  const neutral = change.map((row) => {
    // Where a side was shortened the hues cancel only nearly.
    const rest = row.reduce((sum, x) => sum + x, 0);
    return row.map((x, c) => x - rest * weights[c]!);
  });
  const parts = { base: [weights, weights, weights], change: neutral };
  const knob = affordable(parts, sample, BUDGET, 100);
  return {
    id: 'equal-presence',
    name: 'Equal presence',
    why: `No line drowns another: ${sample.names.join(', ')} each carry the same share of light and of colour.`,
    base: parts.base,
    change: neutral.map((row) => row.map((x) => x * knob)),
    knob: { name: 'colour', value: 1, min: 0, max: 1.5, about: 'how much colour: 0 is grey, 1 as suggested' },
  };
};

const warmest = (names: readonly string[]): number[] => {
  const values = warmth(names);
  return names.map((_, i) => i).sort((a, b) => values[b]! - values[a]!);
};
