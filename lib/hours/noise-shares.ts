/** By what the noise of lines is multiplied, 0…1; a line that is not named keeps its noise. See `noiseFactors`. */
export type NoiseShares = Readonly<Record<string, number>>;

/** Hours that a plan adds to a line. */
interface Added {
  readonly name: string;
  readonly added: number;
}

/** What planned hours leave of the noise of each line: √(t / (t + n)); all of it where none are known or added. */
export const sharesAfter = (
  plan: readonly Added[],
  exposures: readonly { readonly name: string; readonly hours?: number | undefined }[],
): NoiseShares =>
  Object.fromEntries(
    plan.map(({ name, added }) => {
      const spent = exposures.find((one) => one.name === name)?.hours ?? 0;
      return [name, spent > 0 ? Math.sqrt(spent / (spent + added)) : 1];
    }),
  );
