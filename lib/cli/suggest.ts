import { refuseOutput } from '../node/mix-files.ts';
import { sheetFiles } from '../node/sheet-files.ts';
import { suggestFiles, writeSuggestions } from '../node/suggest-files.ts';
import type { SuggestedMixes } from '../work/suggest.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { reportWarnings } from './report.ts';
import { table } from './table.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags extends ApartFlag {
  readonly output?: string;
  readonly sheet?: string;
  readonly fillSpots?: boolean;
  readonly force?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** `linewash suggest`: mixes computed from the masters themselves. */
export const suggest: Verb = (program, { streams, signal, progress }) => {
  program
    .command('suggest')
    .summary('propose mixes computed from the masters')
    .description(
      'Proposes mixes computed from the masters: recipes with a knob, each with its reason and its cost in noise.',
    )
    .argument('[masters...]', MASTERS_HELP)
    .option('-o, --output <folder>', 'write each recipe to a file in this folder')
    .option('--sheet <file>', 'draw them side by side with the plain mix: .tif, .png or .jpg')
    .option('--fill-spots', 'fill hot pixels first, as mix does; the recipes say so')
    .addOption(apartOption())
    .option('--force', 'replace files that exist')
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples(
        'linewash suggest S=S.fits H=H.fits O=O.fits',
        'linewash suggest S=S.fits H=H.fits O=O.fits -o suggested --sheet suggested.png',
      ),
    )
    .action(async (words: string[], flags: Flags) => {
      const inputs = await mastersFrom(words, streams);
      if (flags.sheet !== undefined) await refuseOutput({ output: flags.sheet, force: flags.force });
      const bar = progress(flags.quiet ?? false);
      const show = (stage: string, done: number) => bar.show(stage, done);
      try {
        const found = await suggestFiles({
          inputs,
          apart: flags.combineApart,
          spots: flags.fillSpots ? 'fill' : undefined,
          signal,
          progress: show,
        });
        const { output } = flags;
        const files =
          output === undefined ? [] : await writeSuggestions(found.suggestions, output, flags.force ?? false);
        if (flags.sheet !== undefined) await drawSheet(found, inputs, flags.sheet, flags, signal);
        bar.clear();
        reportWarnings(found.warnings, streams);
        if (flags.json) printJson(streams, { ...found, files, ...(flags.sheet ? { sheet: flags.sheet } : {}) });
        else streams.out(report(found));
      } finally {
        bar.clear();
      }
    });
};

const drawSheet = async (
  { suggestions, plain }: SuggestedMixes,
  inputs: Readonly<Record<string, string>>,
  output: string,
  { force, combineApart }: Flags,
  signal: AbortSignal,
) => {
  const first = { channels: [...plain.channels], matrix: plain.matrix.map((row) => [...row]) };
  const recipes = [
    { caption: `Plain ${plain.channels.join(' ')}`, recipe: first },
    ...suggestions.map(({ recipe }) => ({ recipe })),
  ];
  await sheetFiles({ recipes, inputs, output, force, apart: combineApart, signal });
};

/** A table of what each mix gives and costs, then the reasons. */
const report = ({ suggestions, leftOut }: SuggestedMixes): string => {
  const rows = suggestions.map(({ id, apart, gain, chromaGain, noise, skyChroma, starsGreen, outside }) => [
    id,
    apart.toFixed(3),
    `${gain.toFixed(2)} ×`,
    chromaGain.toFixed(2),
    noise.toFixed(2),
    skyChroma.toFixed(4),
    starsGreen === undefined ? '–' : starsGreen.toFixed(3),
    `${(100 * outside).toFixed(1)} %`,
  ]);
  const titles = ['mix', 'lines apart', 'colour spread', 'gain', 'noise', 'sky', 'stars', 'out of gamut'];
  const reasons = suggestions.map(({ id, why }) => `${id}: ${why}\n`);
  const others = leftOut.length > 0 ? `\nnot offered:\n${leftOut.map((words) => `  ${words}\n`).join('')}` : '';
  return `${table(titles, rows)}\n${reasons.join('')}${others}`;
};
