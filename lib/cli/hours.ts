import { adviseHours, type HoursAdvice } from '../hours/advice.ts';
import { futureNoise, moveHours } from '../hours/future.ts';
import { linesFor, noiseFactors } from '../hours/goal.ts';
import { monteCarlo } from '../hours/monte-carlo.ts';
import type { LineSurvey } from '../hours/survey.ts';
import { type LedgerFiles, ledgerFiles } from '../node/ledger-files.ts';
import { LinewashError } from '../plane/errors.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import { checkNames, expectedFor, goalFor, wishFor, withLineNames } from './hours-flags.ts';
import { addHoursOptions, type HoursFlags, type Move } from './hours-options.ts';
import { hoursByPlan } from './hours-plan.ts';
import { adviceText, CAUTION, checkText, figure, ledgerText, moveText } from './hours-report.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

/** `linewash hours`: what a mix costs in noise, and where the next hours do most good. */
export const hours: Verb = (program, { streams, signal, progress }) => {
  const command = program
    .command('hours')
    .summary('what a mix costs in noise, and where the next hours do most good')
    .description('Shows the noise of each colour by line, and splits the hours to come so that the mix gains most.')
    .argument('[recipe]', RECIPE_HELP)
    .argument('[masters...]', MASTERS_HELP);
  addHoursOptions(command)
    .addHelpText(
      'after',
      examples(
        'linewash hours ember S=S.fits H=H.fits O=O.fits --more 10h',
        'linewash hours hoo H=H.fits O=O.fits --goal snr --box 400,300,40,40 --snr 5',
        'linewash hours --plan winter.json',
      ),
    )
    .action(async (word: string | undefined, words: string[], given: HoursFlags) => {
      if (given.plan !== undefined) return hoursByPlan(given.plan, word, given, { streams, signal, progress });
      if (word === undefined) throw noRecipe();
      goalFor(given);
      const inputs = await mastersFrom(words, streams);
      const recipe = await plainRecipe(await recipeFrom(word), given.knob ?? {});
      const flags = withLineNames(given, neededChannels(recipe));
      const bar = progress(flags.quiet ?? false);
      const files = await ledgerFiles({
        recipe,
        inputs,
        time: flags.time,
        box: flags.box,
        background: flags.background,
        apart: flags.combineApart,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      const result = plan(files, flags);
      reportWarnings(result.warnings, streams);
      if (flags.json) printJson(streams, result);
      else streams.out(textOf(result, files, flags));
    });
};

const noRecipe = () =>
  new LinewashError({
    tag: 'usage',
    message: 'no recipe is given',
    advice: 'name one, for example ember, or a --plan',
  });

/** Everything the verb finds out, as it prints it in JSON. */
const plan = (files: LedgerFiles, flags: HoursFlags) => {
  const { ledger, surveys, exposures, settled } = files;
  for (const name of BY_LINE) checkNames(name, flags[camel(name)], ledger.lines);
  const unknown = exposures.flatMap(({ name, hours }) => (hours === undefined ? name : []));
  const wanted = flags.more !== undefined || flags.nights !== undefined || flags.snr !== undefined || flags.move;
  const advice = unknown.length === 0 || wanted ? advise(files, flags) : undefined;
  const places = { background: ledger.background, ...(ledger.box && { box: ledger.box }) };
  const checks =
    flags.monteCarlo === undefined
      ? undefined
      : Object.fromEntries(Object.entries(places).map(([k, p]) => [k, monteCarlo(settled, p, flags.monteCarlo!)]));
  const wish = wishes(files, flags);
  const expected = exposures.map((exposure) => expectedFor(flags, exposure, wish[exposure.name]!));
  const note = `hours so far are not known for ${unknown.join(', ')}: give them as --time ${unknown[0]}=4.5h to plan`;
  return {
    settled,
    lines: exposures.map((exposure, i) => ({ ...exposure, ...surveys[i]!, expected: expected[i] })),
    ledger,
    ...(advice && { advice, caution: CAUTION }),
    ...(flags.move && { move: moved(files, flags, flags.move) }),
    ...(checks && { monteCarlo: checks }),
    warnings: [...files.warnings, ...(unknown.length > 0 ? [note] : []), ...surveys.flatMap(unexpected(expected))],
  };
};

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

const BY_LINE = ['time', 'sub', 'overhead', 'cap', 'weight', 'read-noise', 'sky', 'gain', 'pedestal'] as const;
const camel = (name: (typeof BY_LINE)[number]) => (name === 'read-noise' ? 'readNoise' : name);

const wishes = ({ exposures, surveys }: LedgerFiles, flags: HoursFlags) =>
  Object.fromEntries(
    exposures.map(({ name, sub }, i) => [name, wishFor(flags, name, { level: surveys[i]!.background.value, sub })]),
  );

const advise = (files: LedgerFiles, flags: HoursFlags): HoursAdvice => {
  const { nights: some } = flags;
  return adviseHours(files.ledger, files.surveys, files.exposures, {
    goal: goalFor(flags),
    more: flags.more ?? (some && some.count * some.hours),
    snr: flags.snr,
    quantity: flags.in,
    per: flags.per,
    lines: wishes(files, flags),
    // Filters are changed to anew every night.
    change: (flags.change ?? 0) * (some?.count ?? 1),
  });
};

const moved = (files: LedgerFiles, flags: HoursFlags, { from, to, hours: h }: Move) => {
  const place = files.ledger.box ?? files.ledger.background;
  const lines = linesFor(place, 'luminance', files.exposures, wishes(files, { ...flags, sub: {} }));
  return { from, to, hours: h, ...futureNoise(place, noiseFactors(lines, moveHours(lines, from, to, h))) };
};

const textOf = (
  result: ReturnType<typeof plan>,
  { ledger, surveys, exposures }: LedgerFiles,
  flags: HoursFlags,
): string => {
  const parts = [ledgerText(ledger, surveys, exposures)];
  for (const [title, check] of Object.entries(result.monteCarlo ?? {})) parts.push(checkText(title, check));
  if (flags.move && result.move) {
    const now = (ledger.box ?? ledger.background).noise;
    parts.push(moveText(flags.move, now, result.move.noise));
  }
  if (result.advice) parts.push(adviceText(result.advice, ledger, exposures));
  return parts.join('\n');
};
