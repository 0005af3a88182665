import { removeOwnTemporaries } from '../node/files/temporary.ts';
import { prepareThreads } from './early.ts';
import { processStreams } from './process-streams.ts';
import { run } from './program.ts';
import { reportError } from './report.ts';
import { safeStreams } from './streams.ts';

/** Exit codes by the habit of shells: 128 and the signal's number. */
const SIGNALS = { SIGINT: 130, SIGTERM: 143 } as const;
type Signal = keyof typeof SIGNALS;
const NAMES = Object.keys(SIGNALS) as Signal[];

/** Work that was asked to stop gets so many ms to tidy up: it stops between strips, which take a small part of that. */
const GRACE = 3000;

/** Ends the process whatever still keeps it, and leaves no half file behind. */
const leave = (code: number): never => {
  removeOwnTemporaries();
  process.exit(code);
};

/** Runs the command line of this process, and ends the process. */
export const start = async (): Promise<never> => {
  const streams = processStreams();
  process.on('uncaughtException', (cause) => leave(reportError(cause, safeStreams(streams))));
  const { signal, signalled } = listenToSignals();
  const words = process.argv.slice(2);
  prepareThreads(words);
  const code = await run(words, streams, signal);
  const lost = await streams.drained();
  if (lost !== undefined) safeStreams(streams).err(`linewash: ${lost}\n`);
  const name = signalled();
  const own = code === SIGNALS.SIGINT && name !== undefined ? SIGNALS[name] : code;
  return leave(lost === undefined || own !== 0 ? own : 1);
};

/** The first signal asks the work to stop, and ends the process all the same once its grace is over. */
const listenToSignals = () => {
  const interrupted = new AbortController();
  let signalled: Signal | undefined;
  const stop = (signal: Signal) => {
    signalled = signal;
    interrupted.abort();
    // Without a listener a further signal ends the process by itself, even one that is stuck; the next run then sweeps.
    for (const name of NAMES) process.off(name, stop);
    setTimeout(() => leave(SIGNALS[signal]), GRACE).unref();
  };
  for (const name of NAMES) process.on(name, stop);
  return { signal: interrupted.signal, signalled: () => signalled };
};
