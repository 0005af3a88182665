/** Does work when all that was asked for before is done, however that ended. */
export type Turn = <T>(work: () => Promise<T>) => Promise<T>;

/** Work that is asked for at the same time is done one after another: for what needs much memory of its own. */
export const turns = (): Turn => {
  let before: Promise<unknown> = Promise.resolve();
  return (work) => {
    const done = before.then(work);
    before = done.catch(() => {});
    return done;
  };
};
