import { type Command, InvalidArgumentError, Option } from 'commander';
import { batchFiles, planBatch } from '../node/batch/batch-files.ts';
import { decideAll } from '../node/batch/decide.ts';
import { initPlan } from '../node/batch/init.ts';
import { writeReport } from '../node/batch/report.ts';
import type { BatchResult, RunOptions } from '../node/batch/run.ts';
import type { Shard } from '../node/batch/shard.ts';
import { watchBatch } from '../node/batch/watch.ts';
import { usualCacheFolder } from '../node/cache/cache-folder.ts';
import { LinewashError, throwIfCancelled } from '../plane/errors.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { commandLines, jobLines, shellWord, soundJobs } from './batch-jobs.ts';
import { decisionLines, finishedLine, restText, summaryLines } from './batch-words.ts';
import { cacheOption } from './cache.ts';
import { reportError, reportWarnings } from './report.ts';
import { harmless } from './streams.ts';
import { type Context, examples, printJsonLine, type Verb } from './verb.ts';

interface Flags extends ApartFlag {
  readonly dryRun?: boolean;
  readonly jobs?: boolean;
  readonly command?: string;
  readonly shard?: Shard;
  readonly parallel?: number;
  readonly memory?: number;
  readonly report?: string;
  readonly watch?: number | true;
  readonly defects?: boolean;
  readonly force?: boolean;
  readonly cache: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

const shard = (text: string): Shard => {
  const [, index, count] = (/^(\d{1,6})\/(\d{1,6})$/.exec(text) ?? []).map(Number);
  if (index === undefined || count === undefined || index < 1 || index > count)
    throw new InvalidArgumentError('Give PART/PARTS, counted from 1, for example 3/8.');
  return { index, count };
};

const UNITS: Readonly<Record<string, number>> = { '': 1, K: 1 << 10, M: 1 << 20, G: 1 << 30 };

const bytes = (text: string): number => {
  const [, number, unit] = /^(\d+(?:\.\d+)?)([KMG]?)$/i.exec(text) ?? [];
  if (number === undefined) throw new InvalidArgumentError('Give an amount of memory, for example 2G or 800M.');
  return Number(number) * UNITS[unit!.toUpperCase()]!;
};

const seconds = (text: string): number => {
  const value = Number(text);
  if (!(value >= 1 && value <= 86400)) throw new InvalidArgumentError('Give a number of seconds from 1 to 86400.');
  return value;
};

const count = (text: string): number => {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1 || value > 256)
    throw new InvalidArgumentError('Give a whole number from 1 to 256.');
  return value;
};

/** `linewash batch`: many targets by many recipes, again after every night. */
export const batch: Verb = (program, context) => {
  const verb = program
    .command('batch')
    .summary('make many pictures: every target with every recipe')
    .description(
      'Makes the pictures of a plan: every target with every recipe, in every output. Skips pictures that are up to date. ' +
        'A failure is reported and does not stop the rest.',
    )
    .argument('<plan>', 'a plan file, or a plan as JSON text')
    .option('--dry-run', 'list what would be done and why, but write nothing')
    .addOption(apartOption())
    .addOption(cacheOption())
    .option('--force', 'make every picture again, and replace files that linewash did not write')
    .option('--parallel <n>', 'number of targets to work on at the same time', count)
    .option('--memory <amount>', 'memory to use, for example 2G (default: 60 % of free memory)', bytes)
    .option('--shard <part/parts>', 'do only this part of the jobs, for example 3/8, and no sheet', shard)
    .option(
      '--jobs',
      'print one command per job for other programs to run, but write nothing; with --json, one picture a line',
    )
    .addOption(new Option('--command <words>', 'command that starts linewash in the lines that --jobs prints'))
    .addOption(
      new Option(
        '--watch [seconds]',
        'go on and make pictures again when their masters change; look so often (default: 10)',
      )
        .argParser(seconds)
        .conflicts(['jobs', 'dryRun', 'report', 'force']),
    )
    .option('--defects', 'look for defects of the masters of each picture that is made, and report them')
    .option('--report <file>', 'write the result of each picture to this file, as JSON lines')
    .option('--json', 'print the result of each picture as JSON lines')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples(
        'linewash batch init stacks -o plan.json',
        'linewash batch plan.json --dry-run',
        'linewash batch plan.json',
        'linewash batch plan.json --watch',
        'linewash batch plan.json --jobs | parallel --joblog jobs.log --resume',
      ),
    )
    .action((plan: string, flags: Flags) => act(plan, flags, context));
  init(verb, context);
};

const act = async (plan: string, flags: Flags, context: Context): Promise<void> => {
  if (flags.jobs) return printJobs(plan, flags, context);
  if (flags.dryRun) return dryRun(plan, flags, context);
  if (flags.watch !== undefined) return watchPlan(plan, flags, context);
  return runPlan(plan, flags, context);
};

const printJobs = async (plan: string, flags: Flags, { streams }: Context): Promise<void> => {
  const work = await planBatch({ plan, shard: flags.shard });
  const jobs = soundJobs(work.jobs);
  const own = [process.execPath, process.argv[1]!];
  const more = [...(flags.force ? ['--force'] : []), ...(flags.combineApart ? ['--combine-apart'] : [])];
  if (flags.json)
    for (const line of await jobLines({ ...work, jobs }, flags.command?.trim().split(/\s+/) ?? own, more))
      printJsonLine(streams, line);
  else
    for (const line of commandLines({ ...work, jobs }, flags.command ?? own.map(shellWord).join(' '), more))
      streams.out(`${line}\n`);
  const faults = work.jobs.flatMap(({ pictures }) => pictures.find(({ fault }) => fault !== undefined) ?? []);
  for (const { target, recipe, fault } of faults)
    streams.err(`linewash: ${harmless(`${target} by ${recipe}: ${fault}`)}\n`);
  if (faults.length > 0)
    throw failed(faults.length, 'jobs cannot be done or only in part; what cannot be done is left out');
};

const dryRun = async (plan: string, flags: Flags, { streams, signal }: Context): Promise<void> => {
  const work = await planBatch({ plan, shard: flags.shard });
  const decisions = await decideAll(work, flags.force ?? false, signal);
  if (flags.json) for (const decision of decisions) printJsonLine(streams, decision);
  else for (const line of decisionLines(decisions)) streams.out(`${line}\n`);
  const refused = decisions.filter(({ action }) => action === 'refuse').length;
  if (refused > 0) throw failed(refused, refused === 1 ? 'picture cannot be made' : 'pictures cannot be made');
};

/** What a run is told, and a bar that shows how far it is. */
const runOptions = (flags: Flags, { streams, signal, progress }: Context) => {
  const bar = progress(flags.quiet ?? false);
  const onProgress: RunOptions['progress'] = (pace, report) => {
    if (report !== undefined) {
      bar.clear();
      if (flags.json) printJsonLine(streams, report);
      if (!streams.interactive && !flags.quiet) streams.err(`${finishedLine(pace, report)}\n`);
    }
    bar.show('batch', pace.share, restText(pace));
  };
  const { shard, force, parallel, memory, defects, combineApart: apart } = flags;
  const cache = flags.cache ? usualCacheFolder() : undefined;
  return { bar, options: { shard, force, cache, apart, defects, parallel, memory, signal, progress: onProgress } };
};

const tellResult = (result: BatchResult, flags: Flags, { streams }: Context): void => {
  if (flags.json) printJsonLine(streams, summaryOf(result));
  else for (const line of summaryLines(result)) streams.out(`${line}\n`);
  for (const { output, warnings } of result.pictures)
    reportWarnings(
      warnings.map((w) => `${output}: ${w}`),
      streams,
    );
};

const watchPlan = async (plan: string, flags: Flags, context: Context): Promise<void> => {
  const { bar, options } = runOptions(flags, context);
  await watchBatch({
    ...options,
    plan,
    every: typeof flags.watch === 'number' ? flags.watch : 10,
    ran(result) {
      bar.clear();
      tellResult(result, flags, context);
    },
    trouble: (cause) => void reportError(cause, context.streams),
  }).finally(() => bar.clear());
};

const runPlan = async (plan: string, flags: Flags, context: Context): Promise<void> => {
  const { bar, options } = runOptions(flags, context);
  const result = await batchFiles({ ...options, plan, reserved: flags.report }).finally(() => bar.clear());
  if (flags.report !== undefined) await writeReport(flags.report, result);
  tellResult(result, flags, context);
  if (result.left > 0 || result.sheet?.status === 'left') throwIfCancelled(context.signal);
  const { failed: some, sheet } = result;
  if (some > 0) throw failed(some, some === 1 ? 'picture could not be made' : 'pictures could not be made');
  if (sheet?.status === 'failed') {
    const { why, output, advice, remedy } = sheet;
    throw new LinewashError({ tag: 'output', message: why, file: output, advice, remedy });
  }
};

/** Exit code 1: the work went on, but not all of it could be done. */
const failed = (count: number, what: string): LinewashError =>
  new LinewashError({ tag: 'output', message: `${count} ${what}` });

const summaryOf = ({ pictures: _, ...rest }: BatchResult) => rest;

const init = (verb: Command, { streams, signal }: Context): void => {
  verb
    .command('init')
    .summary('write a plan from a folder of masters')
    .description(
      'Finds masters in a folder and its subfolders, takes targets and lines from headers and file names, and writes a plan.',
    )
    .argument('<folder>', 'where the masters are')
    .option('-o, --output <file>', 'the plan file (default: batch.json in the folder)')
    .option('--recipes <names>', 'recipes for the plan, separated by commas', (text: string) => text.split(','))
    .option('--force', 'replace the plan if it exists')
    .addHelpText('after', examples('linewash batch init stacks -o plan.json --recipes sho,hoo,ember'))
    .action(async (folder: string, _: unknown, command: Command) => {
      // --force is an option of `batch` as well, which takes it wherever it stands.
      const flags = command.optsWithGlobals<{ output?: string; recipes?: string[]; force?: boolean }>();
      const { file, targets, notes } = await initPlan({ folder, ...flags, signal });
      reportWarnings(notes, streams);
      for (const { name, masters, stars, by } of targets) {
        const parts = [...Object.keys(masters), ...(stars ? ['stars'] : [])].join(', ');
        streams.out(`${harmless(name)}: ${parts} (target by ${by.join(' and ')})\n`);
      }
      streams.out(`${harmless(file)}\n`);
    });
};
