/** A part of a row of bins: columns [from, to) of row y, and which blob it belongs to. */
export interface Run {
  readonly y: number;
  readonly from: number;
  readonly to: number;
  readonly blob: number;
}

/** Connected groups of bins, by rows; bins touch by their sides. */
export interface Blobs {
  readonly count: number;
  /** Row by row, left to right. */
  readonly runs: readonly Run[];
}

/**
 * Groups the bins of a grid that `inside` picks into blobs that touch by their sides. Two passes over runs of a row (a
 * disjoint-set forest, Galler & Fischer 1964, from memory).
 */
export const blobsOf = (width: number, height: number, inside: (index: number) => boolean): Blobs => {
  const parent: number[] = [];
  const root = (of: number): number => {
    let at = of;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  const runs: Run[] = [];
  let [above, aboveEnd] = [0, 0];
  for (let y = 0; y < height; y++) {
    const start = runs.length;
    let next = above;
    for (let x = 0, i = y * width; x < width; x++, i++) {
      if (!inside(i)) continue;
      const from = x;
      while (x < width && inside(i)) {
        x++;
        i++;
      }
      const blob = parent.length;
      parent.push(blob);
      while (next < aboveEnd && runs[next]!.to <= from) next++;
      for (let other = next; other < aboveEnd && runs[other]!.from < x; other++) {
        const [a, b] = [root(runs[other]!.blob), root(blob)];
        parent[Math.max(a, b)] = Math.min(a, b);
      }
      runs.push({ y, from, to: x, blob });
    }
    [above, aboveEnd] = [start, runs.length];
  }
  const names = new Map<number, number>();
  const named = runs.map((run) => {
    const of = root(run.blob);
    const blob = names.get(of) ?? names.size;
    names.set(of, blob);
    return { ...run, blob };
  });
  return { count: names.size, runs: named };
};
