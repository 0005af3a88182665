import type { Exposure } from '../hours/exposure.ts';
import type { Ledger } from '../hours/ledger.ts';
import { type LineSurvey, surveyLine } from '../hours/survey.ts';
import { type SurveyedChannels, surveyChannels } from '../hours/survey-channels.ts';
import type { Channel } from '../measure/measure.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { Settled, SettledChannel } from '../recipe/settle/settled.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type Bench, zerosOf } from './bench.ts';
import type { Box } from './crop.ts';
import { type HoursPictures, type OutlookQuestion, outlookPictures } from './hours-pictures.ts';
import { type HoursPlan, type HoursWishes, planFor } from './hours-plan.ts';
import type { Lines } from './measure-lines.ts';
import { once } from './open-master.ts';
import { plainOf } from './plain.ts';
import type { CallContext } from './wire/rpc.ts';

/** A mix whose noise is looked at. */
export interface NoiseQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  /** Hours by line that stand instead of the header's. */
  readonly time?: Readonly<Record<string, number>> | undefined;
  /** A feature that the mix shall show, and a place of sky where the measured level is none; full-size pixels. */
  readonly box?: Box | undefined;
  readonly background?: Box | undefined;
}

export type HoursQuestion = NoiseQuestion & HoursWishes;

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
  /** What one pixel of the background varies by, by line, in file units. */
  pixelNoise(question: NoiseQuestion, context: CallContext): Promise<Record<string, number>>;
}

/** A mix with the noise of its lines: what every answer rests on. */
export interface NoiseOfMix extends SurveyedChannels {
  readonly settled: Settled;
  /** The sources that the settled numbers apply to. */
  readonly prepared: readonly Channel[];
}

/** Lines are surveyed once for all mixes that take the same level, surface and continuum off them. */
export const createHoursDesk = (bench: Bench): HoursDesk => {
  const survey = rememberingSurvey();
  const look = async (question: NoiseQuestion, { signal, progress }: CallContext): Promise<NoiseOfMix> => {
    const { lines, recipe, time, box, background } = question;
    const plain = await plainOf(recipe);
    const { settled, measured } = await bench.settle(lines, plain, { signal });
    const channels = await bench.full(lines, neededChannels(plain), zerosOf(plain), { signal });
    const prepared = preparedChannels(settled, channels);
    const options = { time, box, background, signal, progress };
    const key = (name: string) => keyOf(lines, settled.channels.find((c) => c.name === name)!, zerosOf(plain));
    const found = await surveyChannels(settled, measured, prepared, options, survey(key));
    return { ...found, settled, prepared };
  };
  return {
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
    outlook: async (question, context) => outlookPictures(await look(question, context), question, context.signal),
    async pixelNoise(question, context) {
      const { surveys } = await look(question, context);
      return Object.fromEntries(surveys.map(({ name, background }) => [name, background.noise]));
    },
  };
};

/** All that the pixels of a channel depend on. */
const keyOf = (lines: Lines, { name, surface, continuum }: SettledChannel, zeros: string): string =>
  JSON.stringify([lines[name], zeros, surface, continuum, continuum && lines[continuum.from]]);

const rememberingSurvey = () => {
  const wishes = new Map<string, Parameters<typeof surveyLine>>();
  const surveyed = once((key, options): Promise<LineSurvey> => {
    const [name, source, level, wish] = wishes.get(key)!;
    wishes.delete(key);
    return surveyLine(name, source, level, { ...wish, ...options });
  });
  return (keyOfLine: (name: string) => string): typeof surveyLine =>
    (name, source, level, { box, background, ...options } = {}) => {
      const key = JSON.stringify([name, keyOfLine(name), level, box, background]);
      wishes.set(key, [name, source, level, { box, background }]);
      return surveyed(key, options);
    };
};
