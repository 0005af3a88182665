type Point = readonly number[];

/**
 * The simplex method of J. A. Nelder and R. Mead, Computer Journal 7:308, 1965: looks for the place where a function is
 * least, without its slopes.
 * @param step side of the first simplex along each axis
 * @param calls how often the function may be asked
 */
export const leastNear = (
  f: (x: Point) => number,
  start: Point,
  step: number,
  calls: number,
): { readonly x: Point; readonly value: number } => {
  let left = calls;
  const ask = (x: Point) => {
    left--;
    return { x, value: f(x) };
  };
  const simplex = [ask(start), ...start.map((_, i) => ask(start.map((v, k) => (k === i ? v + step : v))))];
  const order = () => simplex.sort((a, b) => a.value - b.value);
  order();
  while (left > 0) {
    const worst = simplex.at(-1)!;
    const others = simplex.slice(0, -1);
    const centre = start.map((_, k) => others.reduce((sum, { x }) => sum + x[k]!, 0) / others.length);
    const towards = (share: number) => ask(centre.map((c, k) => c + share * (worst.x[k]! - c)));
    const reflected = towards(-1);
    let next = reflected;
    if (reflected.value < simplex[0]!.value) {
      const further = towards(-2);
      if (further.value < reflected.value) next = further;
    } else if (reflected.value >= others.at(-1)!.value) {
      next = reflected.value < worst.value ? towards(-0.5) : towards(0.5);
    }
    if (next.value < worst.value) simplex[simplex.length - 1] = next;
    else {
      const best = simplex[0]!.x;
      for (let i = 1; i < simplex.length; i++)
        simplex[i] = ask(simplex[i]!.x.map((v, k) => best[k]! + 0.5 * (v - best[k]!)));
    }
    order();
  }
  return simplex[0]!;
};
