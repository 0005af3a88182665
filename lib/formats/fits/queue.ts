/** Runs tasks one after the other, for what they share between awaits; a task that fails does not hold up the next. */
export const queue = () => {
  let last: Promise<unknown> = Promise.resolve();
  return <T>(task: () => Promise<T>): Promise<T> => {
    const result = last.then(task);
    last = result.catch(() => undefined);
    return result;
  };
};
