/** Parameters of one curve, as a recipe gives them or as settling finds them. */
export interface CurveParameters {
  readonly a?: number | undefined;
  readonly points?: readonly (readonly [number, number])[] | undefined;
}

/**
 * A family of monotone curves from [0, 1] onto [0, 1].
 * Everything that depends on a curve asks this table entry; a new curve is one file and one line in `curves.ts`.
 */
export interface CurveKind {
  readonly name: string;
  /** One sentence for the reference page and the page's menu. */
  readonly about: string;
  /** Allowed range of `a`; undefined where the curve has no such parameter. */
  readonly range: readonly [min: number, max: number] | undefined;
  /** The curve t → [0, 1] for t in [0, 1]. */
  curve(p: CurveParameters): (t: number) => number;
  /** Its derivative; may be +Infinity at 0 for powers below 1. */
  slope(p: CurveParameters): (t: number) => number;
  /**
   * The `a` for which the curve takes `background` to `target`, both in (0, 1); inside `range`, so a request that
   * the family cannot fulfil gives its nearest member. Undefined where the curve has no parameter.
   */
  place: ((background: number, target: number) => number) | undefined;
}

/** The parameter, checked by the schema before; the message is for callers of the library. */
export const parameter = (name: string, p: CurveParameters): number => {
  if (p.a === undefined || !(p.a > 0)) throw new RangeError(`curve ${name} needs a parameter a > 0`);
  return p.a;
};

export const clampTo = ([min, max]: readonly [number, number], value: number): number =>
  Math.min(max, Math.max(min, value));

/**
 * The parameter at which a function that is monotone in log(a) meets a target, by bisection on log(a).
 * Where the target lies outside, the nearer end of the range.
 */
export const bisectLog = (
  [min, max]: readonly [number, number],
  rising: boolean,
  target: number,
  value: (a: number) => number,
): number => {
  let low = Math.log(min);
  let high = Math.log(max);
  for (let round = 0; round < 200 && high - low > 1e-15 * Math.max(1, Math.abs(high)); round++) {
    const middle = (low + high) / 2;
    if (value(Math.exp(middle)) < target === rising) low = middle;
    else high = middle;
  }
  return clampTo([min, max], Math.exp((low + high) / 2));
};
