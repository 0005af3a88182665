import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { Settled, SettledChannel } from '../recipe/settle/settled.ts';
import { type TalliedHours, talliedTarget } from '../tally/exposed.ts';
import { type Exposure, exposureOf } from './exposure.ts';
import { type Ledger, ledger } from './ledger.ts';
import { type LineSurvey, type SurveyOptions, surveyLine } from './survey.ts';

/** Where a survey of all channels looks, and how it may be stopped. */
export interface SurveyChannelsOptions extends SurveyOptions {
  /** Hours by channel (`*` for all others) that stand instead of the header's. */
  readonly time?: Readonly<Record<string, number>> | undefined;
  /** Where hours are taken from that neither header nor `time` says. */
  readonly tally?: TalliedHours | undefined;
}

/** A ledger with what it rests on; arrays are in the order of its lines. */
export interface SurveyedChannels {
  readonly surveys: readonly LineSurvey[];
  readonly exposures: readonly Exposure[];
  readonly ledger: Ledger;
  /** What a user should know about the noise, each a sentence. */
  readonly warnings: readonly string[];
}

/**
 * Surveys the noise of all channels of a settled recipe and makes its ledger.
 * `prepared` are the sources that the settled numbers apply to (see `preparedChannels`), `measured` their statistics.
 * `survey` may be one that remembers what it surveyed before.
 * @throws LinewashError 'input' as `surveyLine` does.
 */
export const surveyChannels = async (
  settled: Settled,
  measured: readonly Measured[],
  prepared: readonly { readonly name: string; readonly source: PlaneSource }[],
  options: SurveyChannelsOptions = {},
  survey: typeof surveyLine = surveyLine,
): Promise<SurveyedChannels> => {
  const { time = {}, tally, signal, box, outline, background } = options;
  const sourceOf = (name: string) => prepared.find((p) => p.name === name)!.source;
  const objects = settled.channels.map(({ name }) => sourceOf(name).facts.object);
  const tallied = tally && talliedTarget(tally, objects);
  const lineOf = (name: string) => (tallied && 'line' in tallied ? tallied.line(name) : undefined);
  const surveys: LineSurvey[] = [];
  const exposures: Exposure[] = [];
  for (const [i, channel] of settled.channels.entries()) {
    const { name } = channel;
    const source = sourceOf(name);
    const level = skyOf(channel, measured.find((m) => m.name === name)!);
    const progress = (done: number) => options.progress?.((i + done) / settled.channels.length);
    surveys.push(await survey(name, source, level, { box, outline, background, signal, progress }));
    exposures.push(exposureOf(name, source.facts, time[name] ?? time['*'], lineOf(name)));
  }
  const unfound = tallied && 'fault' in tallied && exposures.some(({ hours }) => hours === undefined);
  const notes = [
    ...(unfound ? [tallied.fault] : []),
    ...surveys.flatMap(correlationNote),
    ...settled.channels.flatMap(continuumNote),
  ];
  return {
    surveys,
    exposures,
    ledger: ledger(settled, surveys),
    warnings: notes,
  };
};

/** What the recipe takes for sky; the measured level where it subtracts nothing. */
const skyOf = ({ background }: SettledChannel, { level }: Measured): number => (background === 0 ? level : background);

const figure = (v: number): number => Number(v.toPrecision(3));

const correlationNote = ({ name, texture }: LineSurvey): string[] =>
  texture.correlated
    ? [
        `${name}: neighbouring pixels go together (correlation about ${texture.neighbours.toFixed(2)}), as after ` +
          `resampling or drizzling; this is allowed for: the noise of a pixel is ${figure(texture.pixel)}, and the mean of a ` +
          `large box varies ${texture.area.toFixed(2)} × as much as that of independent pixels`,
      ]
    : texture.known
      ? []
      : [
          `${name}: nebula fills the frame, so it cannot be told whether neighbouring pixels go together; they are taken ` +
            'to be independent, and the noise of a resampled or drizzled master is larger than these figures',
        ];

const continuumNote = ({ name, continuum }: SettledChannel): string[] =>
  continuum
    ? [
        `${name}: the noise of ${continuum.from}, which is subtracted from it, is counted with it; more hours of ${name} ` +
          'alone do not lower that part',
      ]
    : [];
