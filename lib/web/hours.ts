import type { Exposure } from '../hours/exposure.ts';
import type { Ledger } from '../hours/ledger.ts';
import { type LineSurvey, surveyLine } from '../hours/survey.ts';
import { memoAsync } from '../plane/memo.ts';
import type { SettledChannel } from '../recipe/settle/settled.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type NoiseOfMix, type NoiseOptions, noiseOfMix } from '../work/noise.ts';
import { zerosOf } from '../work/open-lines.ts';
import type { Bench } from './bench.ts';
import { type HoursPictures, type OutlookWish, outlookPictures } from './hours-pictures.ts';
import { type HoursPlan, type HoursWishes, planFor } from './hours-plan.ts';
import type { Lines } from './measure-lines.ts';
import type { NoiseQuestion } from './noise-question.ts';
import { plainOf } from './plain.ts';
import { planSeason, type SeasonAnswer, type SeasonQuestion } from './season.ts';
import type { CallContext } from './wire/rpc.ts';

export type HoursQuestion = NoiseQuestion & HoursWishes;

export type OutlookQuestion = NoiseQuestion & OutlookWish;

export interface HoursAnswer {
  readonly ledger: Ledger;
  /** In the order of the ledger's lines. */
  readonly exposures: readonly Exposure[];
  readonly warnings: readonly string[];
  /** Absent where the hours of some line are not known. */
  readonly plan?: HoursPlan;
}

/** Answers the page's questions about noise and hours. */
export interface HoursDesk {
  answer(question: HoursQuestion, context: CallContext): Promise<HoursAnswer>;
  outlook(question: OutlookQuestion, context: CallContext): Promise<HoursPictures>;
  /** Hours by night, target and line, as `linewash hours --plan` gives them. */
  season(question: SeasonQuestion, context: CallContext): Promise<SeasonAnswer>;
  /** What one pixel of the background varies by, by line, in file units. */
  pixelNoise(question: NoiseQuestion, context: CallContext): Promise<Record<string, number>>;
  /** What others that measure the noise of these lines need, so that each line is surveyed once. */
  surveying(lines: Lines, recipe: Pick<WrittenRecipe, 'zeros'>): NonNullable<NoiseOptions['survey']>;
}

/** Lines are surveyed once for all mixes that take the same level, surface and continuum off them. */
export const createHoursDesk = (bench: Bench): HoursDesk => {
  const survey = rememberingSurvey();
  const surveying: HoursDesk['surveying'] =
    (lines, recipe) =>
    ({ channels }) =>
      survey((name) => keyOf(lines, channels.find((channel) => channel.name === name)!, zerosOf(recipe)));
  const look = async (question: NoiseQuestion, { signal, progress }: CallContext): Promise<NoiseOfMix> => {
    const { lines, recipe } = question;
    const plain = await plainOf(recipe);
    return noiseOfMix(bench.lines(lines), plain, question, {
      signal,
      surveying: progress,
      survey: surveying(lines, plain),
    });
  };
  return {
    surveying,
    async answer(question, context) {
      const { ledger, exposures, warnings, surveys } = await look(question, context);
      const known = exposures.every(({ hours }) => hours !== undefined && hours > 0);
      return {
        ledger,
        exposures,
        warnings,
        ...(known && { plan: planFor(ledger, surveys, exposures, question) }),
      };
    },
    season: (question, context) => planSeason(look, question, context),
    outlook: async (question, context) => outlookPictures(await look(question, context), question, context.signal),
    async pixelNoise(question, context) {
      const { surveys } = await look(question, context);
      return Object.fromEntries(surveys.map(({ name, background }) => [name, background.noise]));
    },
  };
};

/** All that the pixels of a channel depend on. */
const keyOf = (lines: Lines, { name, surface, continuum, spots }: SettledChannel, zeros: string): string =>
  JSON.stringify([lines[name], zeros, surface, continuum, continuum && lines[continuum.from], spots]);

const rememberingSurvey = () => {
  const wishes = new Map<string, Parameters<typeof surveyLine>>();
  const surveyed = memoAsync((key, options): Promise<LineSurvey> => {
    const [name, source, level, wish] = wishes.get(key)!;
    wishes.delete(key);
    return surveyLine(name, source, level, { ...wish, ...options });
  });
  return (keyOfLine: (name: string) => string): typeof surveyLine =>
    (name, source, level, { box, outline, background, ...options } = {}) => {
      const key = JSON.stringify([name, keyOfLine(name), level, box, outline, background]);
      wishes.set(key, [name, source, level, { box, outline, background }]);
      return surveyed(key, options);
    };
};
