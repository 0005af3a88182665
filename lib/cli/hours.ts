import { goalOf } from '../hours/advice.ts';
import { underLineNames } from '../hours/line-names.ts';
import { hoursFiles } from '../node/hours-files.ts';
import { LinewashError } from '../plane/errors.ts';
import { usedChannels } from '../recipe/settle/settle.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import type { MixHours } from '../work/hours.ts';
import { hoursByLine } from './hours-flags.ts';
import { addHoursOptions, type HoursFlags } from './hours-options.ts';
import { readOutline } from './hours-outline.ts';
import { hoursByPlan } from './hours-plan.ts';
import { adviceText, CAUTION, checkText, ledgerText, moveText } from './hours-report.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportAdvice, reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

/** `linewash hours`: show the noise of a mix and where the next hours help most. */
export const hours: Verb = (program, { streams, signal, progress }) => {
  const command = program
    .command('hours')
    .summary('show the noise of a mix and where the next hours help most')
    .description(
      'Shows how much noise each line adds to each colour, and splits future hours so that the mix improves most.',
    )
    .argument('[recipe]', RECIPE_HELP)
    .argument('[masters...]', MASTERS_HELP);
  addHoursOptions(command)
    .addHelpText(
      'after',
      examples(
        'linewash hours ember S=S.fits H=H.fits O=O.fits --more 10h',
        'linewash hours hoo H=H.fits O=O.fits --goal snr --box 400,300,40,40 --snr 5',
        'linewash hours hoo H=H.fits O=O.fits --goal snr --outline faint.json#2',
        'linewash hours --plan winter.json',
      ),
    )
    .action(async (word: string | undefined, words: string[], flags: HoursFlags) => {
      if (flags.plan !== undefined) return hoursByPlan(flags.plan, word, flags, { streams, signal, progress });
      if (word === undefined) throw noRecipe();
      const goal = goalOf({ ...flags, quantity: flags.in }, OPTION_NAMES);
      const inputs = await mastersFrom(words, streams);
      const recipe = await plainRecipe(await recipeFrom(word), flags.knob ?? {});
      const names = usedChannels(recipe);
      const { nights } = flags;
      const wish = {
        goal,
        more: flags.more ?? (nights && nights.count * nights.hours),
        snr: flags.snr,
        quantity: flags.in,
        per: flags.per,
        // Filters are changed to anew every night.
        change: (flags.change ?? 0) * (nights?.count ?? 1),
        tally: flags.tally,
        target: flags.target,
        time: underLineNames('--time', flags.time ?? {}, names),
        lines: hoursByLine(flags, names),
        move: flags.move,
        draws: flags.monteCarlo,
      };
      const bar = progress(flags.quiet ?? false);
      const found = await hoursFiles({
        recipe,
        inputs,
        ...wish,
        box: flags.box,
        outline: flags.outline && (await readOutline(flags.outline)),
        background: flags.background,
        apart: flags.combineApart,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      reportWarnings(found.warnings, streams);
      const unknown = found.lines.find((line) => line.hours === undefined);
      if (unknown) reportAdvice({ advice: 'give them', remedy: { option: 'time', line: unknown.name } }, streams);
      if (flags.json) printJson(streams, withCaution(found));
      else streams.out(textOf(found));
    });
};

const OPTION_NAMES = { snr: '--snr', quantity: '--in', per: '--per', goal: '--goal snr with --box or --outline' };

const noRecipe = () =>
  new LinewashError({
    tag: 'usage',
    message: 'no recipe given',
    advice: 'name one, for example ember, or use --plan',
  });

/** Said beside the advice, where there is one. */
const withCaution = ({ settled, lines, ledger, advice, ...rest }: MixHours) => ({
  settled,
  lines,
  ledger,
  ...(advice && { advice, caution: CAUTION }),
  ...rest,
});

const textOf = (found: MixHours): string => {
  const { ledger, move, advice } = found;
  const parts = [ledgerText(found)];
  for (const [title, check] of Object.entries(found.monteCarlo ?? {})) parts.push(checkText(title, check));
  if (move) parts.push(moveText(move, ledger));
  if (advice) parts.push(adviceText(advice, found));
  return parts.join('\n');
};
