import { type HoursAdvice, SNR_STEPS } from '../../lib/hours/advice.ts';
import type { LedgerBox, LedgerPlace } from '../../lib/hours/ledger.ts';
import { forQuantities } from '../../lib/hours/outputs.ts';
import type { HoursAnswer } from '../../lib/web/hours.ts';
import type { HoursPictures } from '../../lib/web/hours-pictures.ts';

const place = (noise: number): LedgerPlace => ({
  values: [],
  lineNoise: [],
  outputs: [],
  jacobian: [],
  covariance: [],
  correlation: [],
  noise: { ...forQuantities(() => noise), red: 0.0123, colour: 0 },
  sensitivity: forQuantities(() => []),
  shares: { ...forQuantities(() => [0.25, 0.02, 0.73]), red: [0, 1, 0], colour: [0, 0, 0] },
});

/** The box of a ledger in which luminance stands at SNR 4 for one pixel and 80 for all. */
export const box: LedgerBox = {
  ...place(0.002),
  pixels: 400,
  signal: forQuantities(() => 0.008),
  snr: forQuantities(() => 4),
  snrOfMean: forQuantities(() => 80),
};

const allocation = {
  clock: 10,
  before: 1,
  after: 0.5,
  shares: [
    { name: 'S', group: '', added: 2, subs: 18, clock: 2 },
    { name: 'H', group: '', added: 0, clock: 0 },
    { name: 'O', group: '', added: 8, subs: 72, clock: 8 },
  ],
};

const advice: HoursAdvice = {
  goal: 'luminance',
  quantity: 'luminance',
  place: 'background',
  nextHour: [0.018, 0.0016, 0.063],
  allocation,
  // A luminance noise of 0.001 falls to 0.0007.
  future: { noise: forQuantities(() => 0.0007), shares: forQuantities(() => [0, 0, 1]) },
  equal: { noise: forQuantities(() => 0.00078), shares: forQuantities(() => [0, 0, 1]) },
};

const curve = (line: string | undefined, last: number) => ({
  ...(line === undefined ? {} : { line }),
  points: [
    { hours: 0, noise: 0.001 },
    { hours: 10, noise: (0.001 + last) / 2 },
    { hours: 30, noise: last },
  ],
});

/** An answer with round numbers: S 6 h, H 4 h, O 5 h; 10 h to come. */
export const answer = (more: Partial<HoursAnswer> = {}): HoursAnswer => ({
  ledger: { lines: ['S', 'H', 'O'], background: place(0.001) },
  exposures: [
    { name: 'S', hours: 6, sub: 400, subs: 54, from: 'header' },
    { name: 'H', hours: 4, sub: 400, subs: 36, from: 'header' },
    { name: 'O', hours: 5, sub: 400, subs: 45, from: 'header' },
  ],
  warnings: [],
  plan: {
    advice,
    curves: [curve('S', 0.0009), curve('H', 0.00099), curve('O', 0.0006), curve(undefined, 0.0005)],
  },
  ...more,
});

/** The same with a box: SNR 3 is reached, 5 takes 6 h more, 10 cannot be reached. */
export const answerWithBox = (): HoursAnswer => {
  const plain = answer();
  const steps = SNR_STEPS.map((snr, i) => ({
    snr,
    allocation: [{ ...allocation, clock: 0 }, { ...allocation, clock: 6 }, undefined][i],
  }));
  return {
    ...plain,
    ledger: { ...plain.ledger, box },
    plan: { ...plain.plan!, advice: { ...advice, place: 'box', steps } },
  };
};

/** Greys in the place of what more hours bring. */
export const pictures = (): HoursPictures => {
  const grey = (level: number) => {
    const data = new Uint8ClampedArray(4 * 60 * 40);
    for (let i = 0; i < data.length; i += 4) data.set([level, level, level, 255], i);
    return { width: 60, height: 40, data, space: 'srgb' as const };
  };
  return { back: grey(50), now: grey(100), smooth: grey(150) };
};
