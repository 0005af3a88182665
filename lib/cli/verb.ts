import type { Command } from 'commander';
import type { Progress } from './progress.ts';
import { type SafeStreams, type Streams, safeJson } from './streams.ts';

/** What every verb gets from the program around it. */
export interface Context {
  readonly streams: SafeStreams;
  readonly signal: AbortSignal;
  readonly progress: (quiet: boolean) => Progress;
}

/** Adds one verb to the program. Verbs throw LinewashError; the program turns it into words and an exit code. */
export type Verb = (program: Command, context: Context) => void;

/** Help text of a verb's examples: commands that run as they stand. */
export const examples = (...lines: string[]): string =>
  `\nExamples:\n${lines.map((line) => `  $ ${line}`).join('\n')}\n`;

/** JSON for machines, one document on stdout. */
export const printJson = (streams: Streams, value: unknown): void =>
  streams.out(safeJson(`${JSON.stringify(value, null, 2)}\n`));

/** JSON for machines, one document a line. */
export const printJsonLine = (streams: Streams, value: unknown): void =>
  streams.out(safeJson(`${JSON.stringify(value)}\n`));
