import { breathe } from '../../../lib/web/wire/rpc.ts';

/** A clock and timers that only the test moves on. */
export interface Clock {
  /** Lets so many milliseconds pass; timers that are due run in their order. */
  pass(milliseconds: number): void;
  /** Whether a timer waits. */
  readonly waiting: () => boolean;
  restore(): void;
}

interface Timer {
  readonly id: number;
  readonly at: number;
  readonly act: () => void;
}

/** Puts a clock of the test in the place of the browser's. */
export const ownClock = (): Clock => {
  const { setTimeout: realSet, clearTimeout: realClear } = globalThis;
  const realNow = Date.now;
  let now = 1e12;
  let next = 1e6;
  let timers: readonly Timer[] = [];
  const replace = { setTimeout: (act: () => void, after = 0) => add(act, after), clearTimeout: remove };
  const add = (act: () => void, after: number): number => {
    timers = [...timers, { id: next, at: now + after, act }];
    return next++;
  };
  function remove(id?: number): void {
    timers = timers.filter((timer) => timer.id !== id);
  }
  Object.assign(globalThis, replace);
  Date.now = () => now;
  return {
    waiting: () => timers.length > 0,
    pass(milliseconds) {
      now += milliseconds;
      const due = timers.filter(({ at }) => at <= now).sort((a, b) => a.at - b.at || a.id - b.id);
      timers = timers.filter(({ at }) => at > now);
      for (const { act } of due) act();
    },
    restore() {
      Object.assign(globalThis, { setTimeout: realSet, clearTimeout: realClear });
      Date.now = realNow;
    },
  };
};

/** Lets everything run that waits for nothing but its turn. */
export const calm = async (): Promise<void> => {
  for (let i = 0; i < 2; i++) await breathe();
};
