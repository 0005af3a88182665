import { type Exposure, exposureOf } from '../hours/exposure.ts';
import type { Cell } from '../hours/immerkaer.ts';
import { type Ledger, ledger } from '../hours/ledger.ts';
import { type LineSurvey, surveyLine } from '../hours/survey.ts';
import type { Measured } from '../plane/measured.ts';
import type { Recipe } from '../recipe/schema.ts';
import type { Settled } from '../recipe/settled.ts';
import { closeMasters, openMasters } from './masters.ts';
import { inputsFor, settleMasters } from './mix-files.ts';

export interface LedgerOptions {
  readonly recipe: Recipe;
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Hours by channel (`*` for all others) that stand instead of the header's. */
  readonly time?: Readonly<Record<string, number>> | undefined;
  readonly box?: Cell | undefined;
  readonly background?: Cell | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'survey', done: number) => void) | undefined;
}

/** The ledger of a recipe on files, with all that planning hours needs. Arrays are in the order of the ledger's lines. */
export interface LedgerFiles {
  readonly settled: Settled;
  readonly measured: readonly Measured[];
  readonly surveys: readonly LineSurvey[];
  readonly exposures: readonly Exposure[];
  readonly ledger: Ledger;
  readonly warnings: readonly string[];
}

/**
 * Settles a recipe on masters, measures their noise and carries it through the recipe.
 * @throws LinewashError 'input', 'format' or 'recipe' naming the file at fault.
 */
export const ledgerFiles = async (options: LedgerOptions): Promise<LedgerFiles> => {
  const { recipe, signal, box, background } = options;
  const masters = await openMasters(inputsFor(recipe, options.inputs), { zeros: recipe.zeros, signal });
  try {
    const { settled, measured, warnings } = await settleMasters(recipe, masters, {
      signal,
      progress: (_, done) => options.progress?.('measure', done),
    });
    const surveys: LineSurvey[] = [];
    const exposures: Exposure[] = [];
    for (const [i, { name }] of settled.channels.entries()) {
      const { source } = masters.find((master) => master.name === name)!;
      const { level } = measured.find((m) => m.name === name)!;
      const progress = (done: number) => options.progress?.('survey', (i + done) / settled.channels.length);
      surveys.push(await surveyLine(name, source, level, { box, background, signal, progress }));
      exposures.push(exposureOf(name, source.facts, options.time?.[name] ?? options.time?.['*']));
    }
    return {
      settled,
      measured,
      surveys,
      exposures,
      ledger: ledger(settled, surveys),
      warnings: [...warnings, ...surveys.flatMap(correlationNote)],
    };
  } finally {
    await closeMasters(masters);
  }
};

const correlationNote = ({ name, texture }: LineSurvey): string[] =>
  texture.correlated
    ? [
        `${name}: neighbouring pixels go together (correlation about ${texture.neighbours.toFixed(2)}), as after ` +
          `resampling; noise is measured between pixels further apart (${Number(texture.pixel.toPrecision(3))} instead of ` +
          `${Number(texture.fine.toPrecision(3))}), and means are taken to be ${texture.area.toFixed(1)} × noisier`,
      ]
    : [];
