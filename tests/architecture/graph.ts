import { type SourceFile, target } from './sources.ts';

/** What each file, or folder, imports, each once. */
export type Graph = ReadonlyMap<string, ReadonlySet<string>>;

/** The imports of files, of values and of types alike, as far as they lead to others of these files. */
export const graphOf = (files: readonly SourceFile[]): Graph => {
  const paths = new Set(files.map(({ path }) => path));
  return new Map(
    files.map((file) => {
      const targets = file.imports.filter((spelling) => spelling.startsWith('.')).map((to) => target(file, to));
      return [file.path, new Set(targets.filter((path) => paths.has(path)))];
    }),
  );
};

/** All that can be reached from a place by one import or more; the place itself only where it lies on a circle. */
export const reachedFrom = (graph: Graph, start: string): Set<string> => {
  const reached = new Set<string>();
  const open = [start];
  for (let at = open.pop(); at !== undefined; at = open.pop())
    for (const next of graph.get(at) ?? []) {
      if (reached.has(next)) continue;
      reached.add(next);
      open.push(next);
    }
  return reached;
};

/**
 * Groups in which each file reaches each other one, and itself: every circle lies within one group. Sorted, so that a
 * graph has one answer.
 */
export const cyclesOf = (graph: Graph): string[][] => {
  const reached = new Map([...graph.keys()].map((path) => [path, reachedFrom(graph, path)]));
  const groups = new Map<string, string[]>();
  for (const [path, to] of reached) {
    if (!to.has(path)) continue;
    const group = [...to].filter((other) => reached.get(other)!.has(path)).sort();
    groups.set(group[0]!, group);
  }
  return [...groups.values()].sort(([a], [b]) => (a! < b! ? -1 : 1));
};
