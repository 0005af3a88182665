/**
 * Milliseconds of processor time that this process has used. A limit on it holds on a busy machine too, where a clock
 * on the wall counts the work of others.
 */
export const processorTime = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};
