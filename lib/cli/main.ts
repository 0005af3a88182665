#!/usr/bin/env node
import { run } from './program.ts';
import { processStreams } from './streams.ts';

const interrupted = new AbortController();
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => interrupted.abort());

// A reader that closes the pipe early has what it wanted.
process.stdout.on('error', (cause: NodeJS.ErrnoException) => {
  if (cause.code !== 'EPIPE') throw cause;
});

process.exitCode = await run(process.argv.slice(2), processStreams(), interrupted.signal);
