/**
 * The value that would stand at index `k` if the first `count` values were in rising order; brings it there, with none
 * larger before it. Values must not
 * be NaN. Time grows with the count, not with its logarithm times it.
 * Source: C. A. R. Hoare 1961, Algorithm 65: "Find", Communications of the ACM 4:321.
 */
export const selectRank = (values: Float32Array | Float64Array, k: number, count = values.length): number => {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = middleOf(values[low]!, values[(low + high) >> 1]!, values[high]!);
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const value = values[i]!;
      values[i++] = values[j]!;
      values[j--] = value;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k]!;
};

const middleOf = (a: number, b: number, c: number): number => Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));

/** The upper median of the first `count` values, which it reorders; NaN for none. */
export const upperMedian = (values: Float32Array | Float64Array, count = values.length): number =>
  count === 0 ? Number.NaN : selectRank(values, count >> 1, count);

/** The median of the first `count` values, the mean of the middle two for even counts; NaN for none. Reorders them. */
export const quickMedian = (values: Float32Array | Float64Array, count = values.length): number => {
  const upper = upperMedian(values, count);
  if (count % 2 === 1 || count === 0) return upper;
  // All before the upper median's place are no larger.
  let lower = values[0]!;
  for (let i = 1; i < count >> 1; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
};
