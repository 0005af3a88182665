import { adviseHours, type Goal, goalOf, type HoursAdvice, type HoursWish } from '../hours/advice.ts';
import type { Exposure } from '../hours/exposure.ts';
import { type FutureNoise, futureNoise, moveHours, plannedPlace } from '../hours/future.ts';
import { type LineWish, linesFor, noiseFactors } from '../hours/goal.ts';
import type { Ledger } from '../hours/ledger.ts';
import { type LineHours, lineWish, noiseExpected } from '../hours/line-hours.ts';
import type { ByLine } from '../hours/line-names.ts';
import { type MonteCarlo, monteCarlo } from '../hours/monte-carlo.ts';
import type { LineSurvey } from '../hours/survey.ts';
import type { SurveyedChannels } from '../hours/survey-channels.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { withoutStarList } from '../recipe/settle/without-list.ts';

/** A line with its exposure so far and its noise. */
export interface HoursLine extends Exposure, LineSurvey {
  /** The noise of a pixel that the CCD equation expects; undefined where camera, gain or subs are not known. */
  readonly expected: number | undefined;
}

/** Hours that might have been spent on another line. */
export interface HoursMove {
  readonly from: string;
  readonly to: string;
  readonly hours: number;
}

/** What is asked about the hours of a mix. Without a wish for hours, an SNR or a move the answer is about one hour more. */
export interface MixHoursWish extends Omit<HoursWish, 'goal' | 'lines'> {
  /** An SNR where something is said about one, else the least noise of luminance. */
  readonly goal?: Goal | undefined;
  /** By line; `*` for what all lines share. */
  readonly lines?: ByLine<LineHours> | undefined;
  readonly move?: HoursMove | undefined;
  /** Draws of the noise that the ledger is checked with; none where absent. */
  readonly draws?: number | undefined;
}

/** What a mix costs in noise, and where the next hours do most good: estimates. */
export interface MixHours {
  readonly settled: Settled;
  /** In the order of the ledger's lines. */
  readonly lines: readonly HoursLine[];
  readonly ledger: Ledger;
  /** Absent where the hours of some line are not known and nothing is asked that needs them. */
  readonly advice?: HoursAdvice;
  /** The noise if hours had been spent on another line. */
  readonly move?: HoursMove & FutureNoise;
  /** The ledger beside drawn noise, by place. */
  readonly monteCarlo?: Readonly<Record<'background', MonteCarlo>> & Partial<Readonly<Record<'box', MonteCarlo>>>;
  /** What should be known about masters, noise and hours, each a sentence. */
  readonly warnings: readonly string[];
}

/**
 * Splits the hours to come for a mix whose noise is known.
 * @throws LinewashError 'input' as `adviseHours` does, 'usage' where wishes contradict one another
 */
export const hoursOfMix = (mix: SurveyedChannels & { readonly settled: Settled }, wish: MixHoursWish): MixHours => {
  const { ledger, surveys, exposures, settled } = mix;
  const given = (name: string): LineHours => ({ ...wish.lines?.['*'], ...wish.lines?.[name] });
  const wishes = exposures.map(({ name, sub }, i) =>
    lineWish(name, given(name), { level: surveys[i]!.background.value, sub }),
  );
  const unknown = exposures.flatMap(({ name, hours }) => (hours === undefined ? name : []));
  const isAsked = wish.more !== undefined || wish.snr !== undefined || wish.move !== undefined;
  const lines = Object.fromEntries(exposures.map(({ name }, i) => [name, wishes[i]!]));
  const advice =
    unknown.length === 0 || isAsked
      ? adviseHours(ledger, surveys, exposures, { ...wish, goal: goalOf(wish), lines })
      : undefined;
  const expected = exposures.map((exposure, i) => noiseExpected(given(exposure.name), exposure, wishes[i]!));
  const note = `the hours so far are not known for ${unknown.join(', ')}: without them no hours are planned`;
  return {
    settled: withoutStarList(settled),
    lines: exposures.map((exposure, i) => ({ ...exposure, ...surveys[i]!, expected: expected[i] })),
    ledger,
    ...(advice && { advice }),
    ...(wish.move && { move: { ...wish.move, ...moved(mix, lines, wish.move) } }),
    ...(wish.draws !== undefined && { monteCarlo: drawn(settled, ledger, wish.draws) }),
    warnings: [...mix.warnings, ...(unknown.length > 0 ? [note] : []), ...surveys.flatMap(unexpected(expected))],
  };
};

/** What if: subs of the length so far. */
const moved = (
  { ledger, exposures }: SurveyedChannels,
  wishes: Readonly<Record<string, LineWish>>,
  { from, to, hours }: HoursMove,
): FutureNoise => {
  const place = plannedPlace(ledger);
  const same = Object.fromEntries(Object.entries(wishes).map(([name, wish]) => [name, { ...wish, sub: undefined }]));
  const lines = linesFor(place, 'luminance', exposures, same);
  return futureNoise(place, noiseFactors(lines, moveHours(lines, from, to, hours)));
};

const drawn = (settled: Settled, { background, box }: Ledger, draws: number): NonNullable<MixHours['monteCarlo']> => ({
  background: monteCarlo(settled, background, draws),
  ...(box && { box: monteCarlo(settled, box, draws) }),
});

/** Measured noise further from what the CCD equation expects than this is worth a word. */
const UNEXPECTED = 0.2;

const unexpected =
  (expected: readonly (number | undefined)[]) =>
  ({ name, background: { noise } }: LineSurvey, i: number): string[] => {
    const wanted = expected[i];
    if (wanted === undefined || Math.abs(noise / wanted - 1) < UNEXPECTED) return [];
    return [
      `${name}: its noise is ${figure(noise)}, the CCD equation expects ${figure(wanted)}: ` +
        'the master is no plain mean of its subs, or gain, read noise or pedestal are others',
    ];
  };

const figure = (v: number): string => String(Number(v.toPrecision(3)));
