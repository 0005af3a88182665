/** Work that is under way, for whoever wants to come after it. */
export interface InFlight {
  add<T>(work: Promise<T>): Promise<T>;
  /** Resolves when all that is under way now has ended, well or not. */
  ended(): Promise<void>;
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
    async ended() {
      await Promise.allSettled(running);
    },
  };
};
