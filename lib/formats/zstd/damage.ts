/** What is wrong with a Zstandard stream. The stream turns it into an error that names file and strip. */
export class ZstdDamage extends Error {}

/** Gives up on a stream. */
export const damaged = (reason: string): never => {
  throw new ZstdDamage(reason);
};
