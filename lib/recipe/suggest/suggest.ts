import { inputError } from '../../plane/errors.ts';
import type { Matrix } from '../../plane/linear.ts';
import type { WrittenRecipe } from '../written/schema.ts';
import { colouredMixes, judgedFinish, lookAt } from './coloured.ts';
import { decorrelated } from './decorrelate.ts';
import { type Judgement, judge, plainMatrix } from './judge.ts';
import { GREEN } from './limits.ts';
import { warmth } from './lines.ts';
import { along } from './look.ts';
import { pairs } from './pair.ts';
import { equalPresence } from './presence.ts';
import { type Proposal, recipeOf, writtenWeights } from './proposal.ts';
import { type LineSample, sampleOf } from './sample.ts';

/** A recipe computed from masters, with what it does to them. */
export interface Suggestion extends Judgement {
  /** Name of a file, without its ending. */
  readonly id: string;
  readonly recipe: WrittenRecipe;
  readonly why: string;
  /** Balanced weights with the knob as suggested, for the channels of the recipe. */
  readonly matrix: Matrix;
  /** `spread` over that of the plain mix. */
  readonly gain: number;
  /** Gain on chroma after the mix; 1 for none. */
  readonly chromaGain: number;
  /** The smallest distance in OKLab a and b between the places where one line leads and those where another does. */
  readonly apart: number;
  /** Noise of OKLab a and b together in a grey sky. */
  readonly skyChroma: number;
  /** How green stars are in OKLab; magenta below 0. Absent where there are too few. */
  readonly starsGreen?: number;
}

/** Mixes proposed from the data, the best first, and what they are compared with. */
export interface Suggestions {
  readonly suggestions: readonly Suggestion[];
  /** The mix that the others are compared with: each line a colour of its own. */
  readonly plain: Judgement & { readonly channels: readonly string[]; readonly matrix: Matrix };
  /** Lines that are left out because they hold almost nothing but noise. */
  readonly weak: readonly string[];
  /** Mixes that were looked at and are not among them, each with the reason. */
  readonly leftOut: readonly string[];
}

/** A line whose scatter over the sample is less than so many times its noise holds almost no signal. */
const ALMOST_NOTHING = 1.5;
/** More are not offered. */
const MOST = 6;
/** Colours have three parts: more lines than that are not looked at together. */
const COLOURS = 3;

/** The lines that hold almost nothing but noise. */
export const weakLines = ({ names, covariance, noise }: LineSample): string[] =>
  names.filter((_, i) => !(Math.sqrt(covariance[i]![i]!) > Math.max(1e-6, ALMOST_NOTHING * noise[i]!)));

/**
 * Proposes up to six mixes of the sampled lines; where the data allow few, few.
 * @throws LinewashError 'input' where fewer than two lines hold more than noise.
 */
export const suggestMixes = (sample: LineSample): Suggestions => {
  const weak = weakLines(sample);
  const strong = sample.names.filter((name) => !weak.includes(name));
  if (strong.length < 2)
    throw inputError(
      `${strong.length === 0 ? 'no line holds' : `only ${strong[0]} holds`} more than noise (${weak.join(', ')}: almost none)`,
      'colours need at least two lines with signal',
    );
  const used = sampleOf(sample, byWarmth(strong));
  const three = strongest(used);
  const plainWeights = plainMatrix(three.names.length);
  const plain = { ...judge(plainWeights, three), channels: three.names, matrix: plainWeights };
  const others = three.names.length === 2 ? pairs(three) : [decorrelated(three), equalPresence(three)];
  const { proposals, leftOut } = colouredMixes(three, others);
  const suggestions = proposals.slice(0, MOST).map((proposal) => describe(proposal, three, plain.spread, weak));
  return { suggestions, plain, weak, leftOut };
};

/** From long to short wavelengths, as red, green and blue are. */
const byWarmth = (names: readonly string[]): string[] => {
  const values = warmth(names);
  return names
    .map((_, i) => i)
    .sort((a, b) => values[b]! - values[a]!)
    .map((i) => names[i]!);
};

/** The three lines with most signal for their noise, in their order. */
const strongest = (sample: LineSample): LineSample => {
  if (sample.names.length <= COLOURS) return sample;
  const signal = sample.names.map((_, i) => Math.sqrt(sample.covariance[i]![i]!) / (sample.noise[i]! || 1e-9));
  const least = [...signal].sort((a, b) => b - a)[COLOURS - 1]!;
  return sampleOf(sample, sample.names.filter((_, i) => signal[i]! >= least).slice(0, COLOURS));
};

const describe = (proposal: Proposal, on: LineSample, plainSpread: number, weak: readonly string[]): Suggestion => {
  const matrix = writtenWeights(proposal);
  const { gain: chromaGain = 1 } = proposal;
  const judgement = judge(matrix, on, judgedFinish(chromaGain));
  const { apart, sky, stars, outside } = lookAt(matrix, chromaGain, on);
  const gain = judgement.spread / plainSpread;
  const numbers = `${gain.toFixed(2)} times the colour spread of the plain mix for ${judgement.noise.toFixed(2)} times its noise`;
  const left =
    weak.length > 0 ? ` ${weak.join(', ')} hold${weak.length > 1 ? '' : 's'} almost no signal and is left out.` : '';
  const about = `${proposal.why}${left} Computed from masters: ${numbers}.`;
  return {
    id: proposal.id,
    recipe: recipeOf(proposal, on.names, about),
    why: proposal.why + left,
    matrix,
    gain,
    chromaGain,
    apart,
    skyChroma: sky,
    ...(stars && { starsGreen: along(stars, GREEN) }),
    ...judgement,
    outside,
  };
};
