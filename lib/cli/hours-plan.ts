import { type PlanResult, planCsv } from '../hours/plan/plan.ts';
import { planFiles } from '../node/plan-files.ts';
import { LinewashError } from '../plane/errors.ts';
import { CAUTION, figure, hoursText, percent } from './hours-report.ts';
import { reportWarnings } from './report.ts';
import { table } from './table.ts';
import { type Context, printJson } from './verb.ts';

interface Flags {
  readonly tally?: string;
  readonly json?: boolean;
  readonly csv?: boolean;
  readonly quiet?: boolean;
}

/** `linewash hours --plan PLAN.json`: nights split over targets and lines. */
export const hoursByPlan = async (
  plan: string,
  word: string | undefined,
  flags: Flags,
  { streams, signal, progress }: Context,
): Promise<void> => {
  if (word !== undefined)
    throw new LinewashError({
      tag: 'usage',
      message: 'a plan names its own recipes and masters',
      advice: 'leave out the recipe and the masters',
    });
  const bar = progress(flags.quiet ?? false);
  const { warnings, ...result } = await planFiles({
    plan,
    tally: flags.tally,
    signal,
    progress: (target, done) => bar.show(target.slice(0, 8), done),
  }).finally(() => bar.clear());
  reportWarnings(warnings, streams);
  if (flags.json) return printJson(streams, { ...result, caution: CAUTION, warnings });
  if (!flags.csv) return streams.out(planText(result));
  streams.out(planCsv(result));
  streams.err(`linewash: note: ${CAUTION}\n`);
};

const planText = ({ nights, targets }: PlanResult): string => {
  const blocks = nights.flatMap(({ date, dark, used, blocks: some }) =>
    some.length === 0
      ? [[date, hoursText(dark), '–', '–', '–', '–', '–']]
      : some.map(({ target, line, subs, hours, clock }, i) => [
          i === 0 ? date : '',
          i === 0 ? `${figure(used)} of ${hoursText(dark)}` : '',
          target,
          line,
          subs === undefined ? '–' : String(subs),
          figure(hours),
          figure(clock),
        ]),
  );
  const gains = targets.map(({ name, quantity, place, lines, before, after, snr }) => [
    name,
    lines.map((line) => `${line.name} ${figure(line.hours)} + ${figure(line.added)}`).join(', '),
    `${quantity} at the ${place}`,
    `${figure(before)} → ${figure(after)} (${percent(after / before - 1)})`,
    snr ? `${figure(snr.before)} → ${figure(snr.after)} of ${figure(snr.wanted)}` : '–',
  ]);
  return [
    table(['night', 'used', 'target', 'line', 'subs', 'hours', 'on the clock'], blocks),
    table(['target', 'hours so far + planned', 'noise of', 'noise', 'SNR'], gains),
    `${CAUTION}\n`,
  ].join('\n');
};
