/** By what the noise of lines is multiplied, 0…1; a line that is not named keeps its noise. See `noiseFactors`. */
export type NoiseShares = Readonly<Record<string, number>>;

/** Hours so far and hours to come of a line. */
export interface HoursToCome {
  readonly name: string;
  readonly spent: number;
  readonly added: number;
}

/** What hours to come leave of the noise of each line: √(t / (t + n)). */
export const sharesAfter = (lines: readonly HoursToCome[]): NoiseShares =>
  Object.fromEntries(lines.map(({ name, spent, added }) => [name, Math.sqrt(spent / (spent + added))]));
