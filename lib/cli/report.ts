import { systemError } from '../node/files/reason.ts';
import { type ErrorFields, type ErrorTag, LinewashError, type Remedy } from '../plane/errors.ts';
import { isPiped } from './output.ts';
import { harmless, type Streams } from './streams.ts';
import { printJson } from './verb.ts';

/** 0 done; 1 some or all of the work failed; 2 bad usage, recipe or input, nothing written; 130 interrupted. */
const EXIT_CODES: Readonly<Record<ErrorTag, number>> = {
  format: 2,
  input: 2,
  recipe: 2,
  usage: 2,
  output: 1,
  cancelled: 130,
};

/** How the command line calls each option that can help. */
const FLAGS: Readonly<Record<Remedy['option'], (line?: string) => string>> = {
  force: () => '--force',
  apart: () => '--combine-apart',
  time: (line = 'LINE') => `--time ${line}=4.5h`,
  sky: (line = 'LINE') => `--gain and --pedestal, or --sky ${line}=RATE`,
  box: () => '--box LEFT,TOP,WIDTH,HEIGHT',
  share: (line = 'LINE') => `"continuum": {"${line}": {"from": …, "k": 0.1}}`,
  scale: (line = 'LINE') => `"scale": {"${line}": 1}`,
};

/** What the user can do, with the flag that does it. */
export const adviceWords = ({ advice, remedy }: Pick<ErrorFields, 'advice' | 'remedy'>): string | undefined =>
  advice === undefined || remedy === undefined ? advice : `${advice} (${FLAGS[remedy.option](remedy.line)})`;

export const reportAdvice = (help: Parameters<typeof adviceWords>[0], streams: Streams): void => {
  const words = adviceWords(help);
  if (words !== undefined) streams.err(`  → ${harmless(words)}\n`);
};

/** Writes an error in words and returns the exit code that belongs to it. */
export const reportError = (thrown: unknown, streams: Streams): number => {
  const cause = systemError(thrown) ?? thrown;
  if (!(cause instanceof LinewashError)) {
    const text = cause instanceof Error ? (cause.stack ?? cause.message) : String(cause);
    streams.err(`linewash: this is a bug in linewash, please report it:\n${text}\n`);
    return 1;
  }
  const { file, message, faults } = cause;

  const place = file === undefined ? '' : `${harmless(file)}: `;
  if (faults.length > 0) {
    streams.err(`linewash: ${place}${faults.length === 1 ? 'one fault' : `${faults.length} faults`}\n`);
    for (const fault of faults) {
      const at = fault.line === undefined ? '' : `line ${fault.line}, column ${fault.column}, `;
      streams.err(`  ${at}${harmless(fault.path)}: ${harmless(fault.message)}\n`);
    }
  } else streams.err(`linewash: ${place}${harmless(message)}\n`);
  reportAdvice(cause, streams);
  return EXIT_CODES[cause.tag];
};

/** Notes that do not stop the work. */
export const reportWarnings = (warnings: readonly string[], streams: Streams): void => {
  for (const warning of warnings) streams.err(`linewash: note: ${harmless(warning)}\n`);
};

/**
 * What a verb says of the picture it wrote: the notes, and its name or, for machines, all that is known of it. Standard
 * output that was sent the picture gets nothing more.
 */
export const reportPicture = (
  result: { readonly output: string; readonly warnings: readonly string[] },
  streams: Streams,
  flags: { readonly output: string; readonly json?: boolean },
): void => {
  reportWarnings(result.warnings, streams);
  if (isPiped(flags)) return;
  if (flags.json) printJson(streams, result);
  else streams.out(`${result.output}\n`);
};
