/** Work that is done over again while it is asked for, never twice at once. */
export interface OneAtATime {
  /** Asks for a run after the one under way. However often it is asked meanwhile, that is one run. */
  ask(): void;
  /** Stops the run under way and asks for a new one. */
  restart(): void;
  stop(): void;
}

/** Runs `work` with the signal of its run; it must not throw. */
export const oneAtATime = (work: (signal: AbortSignal) => Promise<void>): OneAtATime => {
  let asked = false;
  let running: AbortController | undefined;
  const run = async () => {
    while (asked) {
      asked = false;
      running = new AbortController();
      await work(running.signal);
    }
    running = undefined;
  };
  const ask = () => {
    asked = true;
    if (running === undefined) void run();
  };
  return {
    ask,
    restart() {
      running?.abort();
      ask();
    },
    stop() {
      asked = false;
      running?.abort();
    },
  };
};
