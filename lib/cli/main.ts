#!/usr/bin/env node
// Imports nothing at once, so that it can say in words why the rest cannot be loaded, as where too many files are open.
import('./start.ts')
  .then(({ start }) => start())
  .catch((cause: NodeJS.ErrnoException) => {
    const why =
      cause.code === 'EMFILE' ? 'too many files are open; allow more, as with `ulimit -n 1024`' : cause.message;
    process.stderr.write(`linewash: cannot be started: ${why}\n`, () => process.exit(1));
  });
