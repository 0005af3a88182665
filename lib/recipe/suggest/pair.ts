import { towardsHue } from './chroma-plane.ts';
import { warmth } from './lines.ts';
import { affordable, BUDGET, type Proposal } from './proposal.ts';
import type { LineSample } from './sample.ts';

/** Mixes of two lines: one contrast, so one axis of colours, and what lies between. */
export const pairs = (sample: LineSample): Proposal[] => {
  const [first, second] = warmth(sample.names) as [number, number];
  const warm = first >= second ? 0 : 1;
  const names = { warm: sample.names[warm]!, cool: sample.names[1 - warm]! };
  const axis = (hue: number) => {
    const base = [0, 1, 2].map(() => [0.5, 0.5]);
    const change = towardsHue(hue).map((x) => (warm === 0 ? [x, -x] : [-x, x]));
    const knob = affordable({ base, change }, sample, BUDGET, 8);
    return { base, change: change.map((row) => row.map((x) => x * knob)), knob: COLOUR };
  };
  return [
    {
      id: 'amber-to-blue',
      name: 'Amber to blue',
      why: `Where ${names.warm} is stronger the picture is amber, where ${names.cool} is, blue; equal lines are grey.`,
      ...axis(62),
    },
    {
      id: 'red-to-teal',
      name: 'Red to teal',
      why: `The usual two colours, as far apart as noise allows: ${names.warm} red, ${names.cool} teal.`,
      ...axis(22),
    },
    sharedGreen(sample, warm, names),
  ];
};

const COLOUR = { name: 'colour', value: 1, min: 0, max: 1.5, about: 'how much colour: 0 is grey, 1 as suggested' };

/** Green is divided so that both lines move it equally: share · s₁ = (1 − share) · s₂, s their scatter. */
const sharedGreen = (
  { covariance }: LineSample,
  warm: number,
  names: { readonly warm: string; readonly cool: string },
): Proposal => {
  const cool = 1 - warm;
  const [s1, s2] = [Math.sqrt(covariance[warm]![warm]!), Math.sqrt(covariance[cool]![cool]!)];
  const one = (line: number) => [0, 1].map((c) => (c === line ? 1 : 0));
  return {
    id: 'shared-green',
    name: 'Shared green',
    why: `${names.warm} alone in red, ${names.cool} alone in blue, and green divided so that both move it equally.`,
    base: [one(warm), one(cool), one(cool)],
    change: [[0, 0], one(warm).map((w) => (w === 1 ? 1 : -1)), [0, 0]],
    knob: {
      name: 'share',
      value: Math.round((100 * s2) / (s1 + s2)) / 100,
      min: 0,
      max: 1,
      about: `share of ${names.warm} in green; the rest is ${names.cool}`,
    },
  };
};
