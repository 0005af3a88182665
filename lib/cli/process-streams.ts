import { reasonOf } from '../node/files/reason.ts';
import type { Streams } from './streams.ts';

/** The streams of this process. */
export interface ProcessStreams extends Streams {
  /** Waits until all is written; says in words what could not be, where a reader did not simply leave. */
  drained(): Promise<string | undefined>;
}

/**
 * Standard output and standard error. Whatever becomes of them, work goes on: a reader that closes a pipe has what it
 * wanted, and a full disk is told at the end.
 */
export const processStreams = (): ProcessStreams => {
  const out = outlet(process.stdout, 'standard output');
  const err = outlet(process.stderr, 'standard error');
  return {
    out: out.write,
    err: err.write,
    interactive: process.stderr.isTTY === true && !process.env.CI,
    colour: process.stdout.isTTY === true && !process.env.NO_COLOR,
    ...(process.stdout.isTTY !== true && { pipe: out.pipe }),
    async drained() {
      const faults = [await out.drained(), await err.drained()];
      return faults.find((fault) => fault !== undefined);
    },
  };
};

const outlet = (stream: NodeJS.WriteStream, name: string) => {
  let fault: NodeJS.ErrnoException | undefined;
  stream.on('error', (cause) => {
    fault ??= cause;
  });
  return {
    write(text: string): void {
      if (fault === undefined) stream.write(text);
    },
    async pipe(bytes: AsyncIterable<Uint8Array>): Promise<void> {
      for await (const chunk of bytes) {
        if (fault !== undefined) return;
        await new Promise<void>((resolve) => void stream.write(chunk, () => resolve()));
      }
    },
    async drained(): Promise<string | undefined> {
      if (fault === undefined) await new Promise<void>((resolve) => void stream.write('', () => resolve()));
      // What failed is told a turn later.
      await new Promise((resolve) => setImmediate(resolve));
      return fault === undefined || fault.code === 'EPIPE'
        ? undefined
        : `${name} cannot be written: ${reasonOf(fault)}`;
    },
  };
};
