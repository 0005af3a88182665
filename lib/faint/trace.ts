import type { Run } from './blobs.ts';

/** The rings around a blob, corners x, y, x, y … on the grid of its bins: clockwise around it, the other way around holes. */
export const ringsAround = (runs: readonly Run[]): number[][] => {
  const rows = new Map<number, Run[]>();
  for (const run of runs) rows.set(run.y, [...(rows.get(run.y) ?? []), run]);
  const edges = edgesFrom();
  for (const { y, from, to } of runs) {
    for (const [a, b] of without(from, to, rows.get(y - 1))) edges.add(a, y, b, y);
    for (const [a, b] of without(from, to, rows.get(y + 1))) edges.add(b, y + 1, a, y + 1);
    edges.add(from, y + 1, from, y);
    edges.add(to, y, to, y + 1);
  }
  return edges.rings();
};

/** What of columns [from, to) no run covers; runs in rising order. */
const without = (from: number, to: number, runs: readonly Run[] = []): [from: number, to: number][] => {
  const left: [number, number][] = [];
  let at = from;
  for (const run of runs) {
    if (run.to <= at || run.from >= to) continue;
    if (run.from > at) left.push([at, run.from]);
    at = run.to;
  }
  if (at < to) left.push([at, to]);
  return left;
};

/** Directed edges, joined to rings: as many begin at a corner as end there. */
const edgesFrom = () => {
  const byStart = new Map<string, (readonly [x: number, y: number])[]>();
  const key = (x: number, y: number) => `${x} ${y}`;
  return {
    add(x0: number, y0: number, x1: number, y1: number): void {
      const at = key(x0, y0);
      byStart.set(at, [...(byStart.get(at) ?? []), [x1, y1]]);
    },
    rings(): number[][] {
      const rings: number[][] = [];
      for (const [start, ends] of byStart)
        while (ends.length > 0) {
          const ring: number[] = [];
          let [x, y] = start.split(' ').map(Number) as [number, number];
          for (let next = ends.pop(); next !== undefined; next = byStart.get(key(x, y))?.pop()) {
            ring.push(x, y);
            [x, y] = next;
          }
          rings.push(corners(ring));
        }
      return rings;
    },
  };
};

/** A ring without the points at which it goes straight on. */
const corners = (ring: readonly number[]): number[] => {
  const count = ring.length / 2;
  const kept: number[] = [];
  for (let i = 0; i < count; i++) {
    const [x, y] = [ring[2 * i]!, ring[2 * i + 1]!];
    const [before, after] = [(i + count - 1) % count, (i + 1) % count];
    const straight =
      (ring[2 * before] === x && ring[2 * after] === x) || (ring[2 * before + 1] === y && ring[2 * after + 1] === y);
    if (!straight) kept.push(x, y);
  }
  return kept;
};
