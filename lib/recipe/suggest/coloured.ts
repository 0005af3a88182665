import { type ChromaGain, type Finish, MOST_GAIN } from '../../finish/finish.ts';
import type { Matrix } from '../../plane/linear.ts';
import { FAMILIES, type Family, huesFor, hueWord } from './families.ts';
import { type Field, GREEN, judgedOf, keeps, LIMITS, starsKeep, worth } from './limits.ts';
import { along, type Look, lookOf, skyChroma } from './look.ts';
import { populationsOf } from './populations.ts';
import { type Proposal, writtenWeights } from './proposal.ts';
import type { LineSample } from './sample.ts';
import { searchNear } from './search.ts';

/** OKLab chroma that 5 % of the bright pixels exceed after the finish, and below which a mix is not worth offering. */
const [AIM, LEAST] = [0.12, 0.06];
/** Hues further from where they aim than this make another mix. */
const MOST_ERROR = 30;
/** Mixes whose populations lie nearer than this on average look alike. */
const ALIKE = 0.04;
/** A sky at the usual level, with room for its noise. */
const FADE: Omit<ChromaGain, 'gain'> = { from: 0.26, to: 0.51, until: 0.3 };
const HALVINGS = 10;
/** What each unit of chroma near green or magenta takes from the worth of an order. */
const LIME = 5;
/** The search stops a little beyond a limit as well as before it. */
const TOLERANCE = 0.003;

/** A mix with its finish, and how it looks then. */
export interface Coloured {
  readonly matrix: Matrix;
  readonly gain: number;
  readonly look: Look;
}

const finished = (matrix: Matrix, gain: number, { populations, sample }: Field): Look =>
  lookOf(matrix, populations, sample.stars, judgedFinish(gain));

/** The gain with which the bright parts are as vivid as aimed at, stars stay calm and little leaves the space. */
const withGain = (matrix: Matrix, field: Field): Coloured => {
  const plain = finished(matrix, 1, field);
  const fits = ({ vivid, outside, stars }: Look) =>
    vivid <= AIM && outside <= Math.max(LIMITS.outsideAfter, plain.outside) && starsKeep(stars);
  let [low, high] = [1, MOST_GAIN];
  for (let round = 0; round < HALVINGS; round++) {
    const middle = (low + high) / 2;
    if (fits(finished(matrix, middle, field))) low = middle;
    else high = middle;
  }
  const gain = Math.floor(100 * low) / 100;
  return { matrix, gain, look: finished(matrix, gain, field) };
};

/** All ways to give lines the primaries without mixing them: one line each, or one of two lines in two of them. */
const ordersOf = (lines: number): readonly (readonly number[])[] => {
  const all = [0, 1, 2].map(() => [...Array(lines).keys()]);
  const [red, green, blue] = all as [number[], number[], number[]];
  return red
    .flatMap((r) => green.flatMap((g) => blue.map((b) => [r, g, b])))
    .filter((order) => new Set(order).size === lines);
};
const orderMatrix = (order: readonly number[], lines: number): number[][] =>
  order.map((line) => Array.from({ length: lines }, (_, c) => Number(c === line)));

/** Mixes that keep two or three lines apart, the best first; one of them is the best plain order. */
export interface ColouredMixes {
  readonly proposals: readonly Proposal[];
  /** What is left out, and why, each in words. */
  readonly leftOut: readonly string[];
}

/** What is looked at of the lines; the sky may have the chroma noise of the calmest plain order. */
export const fieldOf = (sample: LineSample): Field => {
  const { length } = sample.names;
  const calmest = Math.min(...ordersOf(length).map((order) => skyChroma(orderMatrix(order, length), sample.skyNoise)));
  return { sample, populations: populationsOf(sample), sky: Math.max(LIMITS.sky, calmest) };
};

/** A mix that may be offered, and what speaks against it. */
interface Candidate {
  readonly mix: Coloured;
  readonly proposal: Proposal;
  readonly against?: string | undefined;
}

/** @param others mixes of these lines that were found in another way */
export const colouredMixes = (sample: LineSample, others: readonly Proposal[]): ColouredMixes => {
  const field = fieldOf(sample);
  const plain = bestOrder(field);
  const families = sample.names.length === 3 ? FAMILIES.map((family) => familyOf(family, field)) : [];
  const candidates = [...families, ...others.map((other) => withFinish(other, field))].sort(
    (a, b) => worth(b.mix.look) - worth(a.mix.look),
  );
  const offered = [plain];
  const leftOut: string[] = [];
  for (const { mix, proposal, against } of candidates) {
    // A mix with calmer stars is worth offering beside one that looks alike otherwise.
    const twin = offered.find(
      (one) => distance(one.mix.look, mix.look) < ALIKE && (starsAgainst(one.mix.look.stars) === undefined || against),
    );
    const why =
      mix.look.vivid < LEAST
        ? 'too pale within the limits'
        : (against ?? (twin && `it looks like ${twin.proposal.name}`));
    if (why) leftOut.push(`${proposal.name}: ${why}`);
    else offered.push({ mix, proposal });
  }
  offered.sort((a, b) => worth(b.mix.look) - worth(a.mix.look));
  return { proposals: offered.map(({ proposal }) => proposal), leftOut };
};

const familyOf = (family: Family, field: Field): Candidate => {
  const { matrix, error } = searchNear(field, huesFor(family, field.sample.names));
  const mix = withGain(matrix, field);
  const against =
    error > MOST_ERROR ? 'the lines do not come near its hues within the limits' : starsAgainst(mix.look.stars);
  return { mix, proposal: proposalOf(family.id, family.name, mix, field.sample.names), against };
};

/** A mix from elsewhere keeps its knob and its reason. */
const withFinish = (proposal: Proposal, field: Field): Candidate => {
  const matrix = writtenWeights(proposal);
  const mix = withGain(matrix, field);
  const { gain: _, ...rest } = proposal;
  const against =
    starsAgainst(mix.look.stars) ??
    (keeps(judgedOf(matrix, field), field)
      ? undefined
      : 'it costs more noise or colour outside the space than it is worth');
  return { mix, proposal: mix.gain > 1 ? { ...rest, gain: mix.gain } : rest, against };
};

const starsAgainst = (stars: Look['stars']): string | undefined =>
  stars === undefined || Math.abs(along(stars, GREEN)) <= LIMITS.green + TOLERANCE
    ? undefined
    : `its stars are too ${along(stars, GREEN) > 0 ? 'green' : 'magenta'}`;

/** How much an order is worth that shows lines in lime or magenta, or stars: few keep such a picture. */
const orderWorth = ({ mix: { look } }: Candidate): number => {
  const lime = look.places.map((place) => Math.abs(along(place, GREEN)) - 0.8 * Math.hypot(...place));
  const stars = look.stars ? Math.abs(along(look.stars, GREEN)) - LIMITS.green : 0;
  return worth(look) - LIME * Math.max(0, ...lime) - Math.max(0, stars);
};

const bestOrder = (field: Field): Candidate => {
  const { names } = field.sample;
  const all = ordersOf(names.length).map((order) => {
    const mix = withGain(orderMatrix(order, names.length), field);
    const name = `Plain ${order.map((line) => names[line]).join(', ')}`;
    return { mix, proposal: proposalOf('plain-order', name, mix, names) };
  });
  return all.reduce((best, next) => (orderWorth(next) > orderWorth(best) ? next : best));
};

const distance = (one: Look, other: Look): number =>
  one.places.reduce((sum, [a, b], k) => sum + Math.hypot(a - other.places[k]![0], b - other.places[k]![1]), 0) /
  one.places.length;

const proposalOf = (id: string, name: string, { matrix, gain, look }: Coloured, lines: readonly string[]): Proposal => {
  const grey = lines.map(() => 1 / lines.length);
  const words = lines.map(
    (line, k) => `${line} ${hueWord((Math.atan2(look.places[k]![1], look.places[k]![0]) * 180) / Math.PI)}`,
  );
  return {
    id,
    name,
    why: `Where a line leads, the picture turns: ${words.join(', ')}; these colours lie at least ${look.apart.toFixed(3)} apart in OKLab.`,
    base: matrix.map(() => grey),
    change: matrix.map((row) => row.map((w, c) => w - grey[c]!)),
    knob: { name: 'colour', value: 1, min: 0, max: 1.5, about: 'how much colour: 0 is grey, 1 as suggested' },
    ...(gain > 1 && { gain }),
  };
};

/** What a proposal's matrix looks like with its finish. */
export const lookAt = (matrix: Matrix, gain: number, sample: LineSample): Look & { readonly sky: number } => {
  const field = fieldOf(sample);
  return { ...finished(matrix, gain, field), sky: skyChroma(matrix, sample.skyNoise) };
};

/** The finish of a proposal as it is judged here: the sky at its usual level. */
export const judgedFinish = (gain: number): Finish => ({ chroma: { ...FADE, gain } });
