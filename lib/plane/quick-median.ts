/**
 * Median of the first `count` values, the mean of the middle two for even counts; NaN for none. Changes their order. They
 * must not be NaN. Takes time in proportion to the count (C. A. R. Hoare, "Algorithm 65: Find", Comm. ACM 4:321, 1961).
 */
export const quickMedian = (values: Float64Array, count = values.length): number => {
  if (count === 0) return Number.NaN;
  const middle = count >> 1;
  const upper = select(values, count, middle);
  if (count % 2 === 1) return upper;
  let lower = values[0]!;
  for (let i = 1; i < middle; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
};

/** Brings the k-th smallest of the first `count` values to place k, with none larger before it. */
const select = (values: Float64Array, count: number, k: number): number => {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const held = values[i]!;
      values[i++] = values[j]!;
      values[j--] = held;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else return values[k]!;
  }
  return values[k]!;
};
