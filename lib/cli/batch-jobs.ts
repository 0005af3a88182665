import type { BatchJob, BatchWork } from '../node/batch/jobs.ts';
import { BATCH_VERSION, type BatchPlan } from '../node/batch/schema.ts';
import { exists, splitFiles } from '../node/files/spelling.ts';

/** One word for a POSIX shell, whatever is in it. */
export const shellWord = (text: string): string =>
  /^[A-Za-z0-9_@%+=:,./-]+$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;

/** JSON on one line in ASCII, so that neither a locale nor a line break in a name can harm it. */
const asciiJson = (value: unknown): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the range is exactly what ASCII leaves out
  JSON.stringify(value).replace(/[^\x00-\x7e]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);

/** A plan of one job that needs no other file than masters and recipe, all by their full paths. */
export const planOfJob = ({ target, recipe, outputs }: BatchJob, into: string): BatchPlan => ({
  linewash: BATCH_VERSION,
  targets: [
    {
      name: target.name,
      masters: mastersOf(target.masters),
      ...(target.stars !== undefined && { stars: oneOrAll(target.stars) }),
    },
  ],
  recipes: [recipe.entry],
  into,
  outputs: [...outputs],
  sheet: null,
});

const mastersOf = (masters: BatchJob['target']['masters']): Record<string, string | string[]> =>
  Object.fromEntries(Object.entries(masters).map(([line, files]) => [line, oneOrAll(files)]));

const oneOrAll = (files: readonly string[]): string | string[] => (files.length === 1 ? files[0]! : [...files]);

/** The jobs with what can be made of them; those of which nothing can are left out. */
export const soundJobs = (jobs: readonly BatchJob[]): BatchJob[] =>
  jobs.flatMap((job) => {
    const sound = (i: number) => job.pictures[i]!.fault === undefined;
    const outputs = job.outputs.filter((_, i) => sound(i));
    return outputs.length === 0 ? [] : [{ ...job, outputs, pictures: job.pictures.filter((_, i) => sound(i)) }];
  });

/** What makes one picture, for programs that run tasks by their inputs and outputs. */
export interface JobLine {
  /** The command, word by word. */
  readonly argv: readonly string[];
  /** Every file that it reads, by full path. */
  readonly inputs: readonly string[];
  readonly output: string;
  readonly target: string;
  readonly recipe: string;
}

/** One line a picture: each is a job of its own. */
export const jobLines = async (
  { into, jobs }: BatchWork,
  command: readonly string[],
  more: readonly string[] = [],
): Promise<JobLine[]> => {
  const lines: JobLine[] = [];
  for (const job of jobs)
    for (const [i, { target, recipe, inputs, stars, output }] of job.pictures.entries()) {
      const plan = planOfJob({ ...job, outputs: [job.outputs[i]!] }, into);
      const masters = await Promise.all([...Object.values(inputs), ...(stars ? [stars] : [])].map(splitFiles));
      const { entry } = job.recipe;
      const word = typeof entry === 'string' ? entry : typeof entry.recipe === 'string' ? entry.recipe : '';
      lines.push({
        argv: [...command, 'batch', asciiJson(plan), '--quiet', ...more],
        inputs: [...new Set([...masters.flat().map(({ path }) => path), ...((await exists(word)) ? [word] : [])])],
        output,
        target,
        recipe,
      });
    }
  return lines;
};

/**
 * One command line a job, for any program that runs lines of a list: each holds all it needs and does no harm when run
 * again.
 * @param command what starts linewash, as a shell reads it
 */
export const commandLines = ({ into, jobs }: BatchWork, command: string, more: readonly string[] = []): string[] =>
  jobs.map((job) => {
    const words = ['batch', asciiJson(planOfJob(job, into)), '--quiet', ...more];
    return [command, ...words.map(shellWord)].join(' ');
  });
