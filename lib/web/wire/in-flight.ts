import { breathe } from './rpc.ts';

/** Work that is under way, for whoever wants to come after it. */
export interface InFlight {
  add<T>(work: Promise<T>): Promise<T>;
  /** Resolves as soon as nothing is under way, well ended or not; after `most` ms at the latest. */
  calm(most: number): Promise<void>;
}

export const inFlight = (): InFlight => {
  const running = new Set<Promise<unknown>>();
  return {
    add(work) {
      running.add(work);
      const leave = () => void running.delete(work);
      work.then(leave, leave);
      return work;
    },
    async calm(most) {
      const until = performance.now() + most;
      // Questions that came while the worker was busy are received only now.
      await breathe();
      while (running.size > 0 && performance.now() < until)
        await Promise.race([Promise.allSettled(running), pause(until)]);
    },
  };
};

const pause = (until: number): Promise<void> =>
  new Promise((resolve) => setTimeout(resolve, Math.max(0, until - performance.now())));
