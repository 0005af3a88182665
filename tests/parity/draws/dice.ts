/** Seeded choices: the same seed gives the same choices on every machine. */
export interface Dice {
  /** Uniform in [0, 1). */
  unit(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** A whole number in [low, high]. */
  whole(low: number, high: number): number;
  /** Uniform in the logarithm, between two positive numbers. */
  scale(low: number, high: number): number;
  chance(share: number): boolean;
  pick<T>(choices: readonly T[]): T;
  /** About normal, mean 0 and deviation 1: the sum of twelve uniform numbers less six. */
  normal(): number;
}

/** The generator mulberry32 (T. Ettinger, public domain; from memory), its state hashed from the seed by its own step. */
export const diceFor = (seed: number): Dice => {
  let state = Math.imul(seed | 0, 0x9e3779b1);
  const unit = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const dice: Dice = {
    unit,
    between: (low, high) => low + (high - low) * unit(),
    whole: (low, high) => low + Math.floor((high - low + 1) * unit()),
    scale: (low, high) => low * (high / low) ** unit(),
    chance: (share) => unit() < share,
    pick: (choices) => choices[Math.floor(choices.length * unit())]!,
    normal: () => Array.from({ length: 12 }, unit).reduce((a, b) => a + b, -6),
  };
  return dice;
};
