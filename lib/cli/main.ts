#!/usr/bin/env node
import { prepareThreads } from './early.ts';
import { run } from './program.ts';
import { processStreams } from './streams.ts';

/** Exit codes by the habit of shells: 128 and the signal's number. */
const SIGNALS = { SIGINT: 130, SIGTERM: 143 } as const;

const interrupted = new AbortController();
let signalled: keyof typeof SIGNALS | undefined;
for (const signal of Object.keys(SIGNALS) as (keyof typeof SIGNALS)[])
  process.on(signal, () => {
    // Who asks twice does not want to wait; temporary files are then swept by the next batch.
    if (signalled !== undefined) process.exit(SIGNALS[signal]);
    signalled = signal;
    interrupted.abort();
  });

// A reader that closes the pipe early has what it wanted.
process.stdout.on('error', (cause: NodeJS.ErrnoException) => {
  if (cause.code !== 'EPIPE') throw cause;
});

const words = process.argv.slice(2);
prepareThreads(words);
const code = await run(words, processStreams(), interrupted.signal);
process.exitCode = code === SIGNALS.SIGINT && signalled !== undefined ? SIGNALS[signalled] : code;
