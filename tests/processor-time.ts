/**
 * Milliseconds of processor time that this process has used. A limit on it holds on a busy machine too, where a clock
 * on the wall counts the work of others.
 */
export const processorTime = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

/**
 * The least processor time of a few runs of some work, in milliseconds: what the process does besides, as collecting
 * the garbage of other tests, falls into one run or another, but not into all.
 */
export const leastTime = async (work: () => unknown): Promise<number> => {
  let least = Number.POSITIVE_INFINITY;
  for (let run = 0; run < 3; run++) {
    const start = processorTime();
    await work();
    least = Math.min(least, processorTime() - start);
  }
  return least;
};
