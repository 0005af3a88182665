// One seed for the whole run: what tests draw at random from it can be drawn again.

/** Chooses a seed where LINEWASH_SEED names none, for all workers, and says which. */
export default () => {
  if (process.env.LINEWASH_SEED === undefined) process.env.LINEWASH_SEED = String(Date.now() % 1_000_000);
  console.log(
    `seed of the samples of cases: LINEWASH_SEED=${process.env.LINEWASH_SEED}; LINEWASH_FULL=1 runs all cases`,
  );
};
