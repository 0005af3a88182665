/**
 * Values of the expressions in catalogue recipes at their own knobs, so that the page opens, and draws its wall, without
 * the parser of expressions, a quarter of all that it loads. `tests/mix/known-expressions.test.ts` computes each again.
 */
export const KNOWN_EXPRESSIONS: readonly (readonly [text: string, knob: string, at: number, value: number])[] = [
  ['1 - share', 'share', 0.35, 0.65],
  ['0.2 * beta', 'beta', 0.3, 0.06],
  ['1 - green', 'green', 0.4, 0.6],
  ['1 - whiten', 'whiten', 0.25, 0.75],
  ['0.5 - less', 'less', 0.35, 0.15000000000000002],
  ['-0.65 * less', 'less', 0.35, -0.22749999999999998],
  ['(1 + 2 * tint) / 3', 'tint', 0.15, 0.43333333333333335],
  ['(1 - 2 * tint) / 3', 'tint', 0.15, 0.2333333333333333],
];

/** The value where it is known: of a knob's name alone, of a third, of what the catalogue holds. */
export const knownValue = (text: string, knobs: ReadonlyMap<string, number>): number | undefined => {
  if (text === '1 / 3') return 1 / 3;
  return (
    knobs.get(text) ?? KNOWN_EXPRESSIONS.find(([known, knob, at]) => known === text && knobs.get(knob) === at)?.[3]
  );
};
