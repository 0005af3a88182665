import { type Graph, reachedFrom } from './graph.ts';
import { type SourceFile, target } from './sources.ts';

const START = '<!-- imports: written by `npm run docs -- imports` -->';
const END = '<!-- end of imports -->';

/** The folder of `lib/` that a path lies in; undefined for files beside the folders, and elsewhere. */
const folderOf = (path: string): string | undefined => /^lib\/([^/]+)\//.exec(path)?.[1];

/** Which folder of the library imports which. */
export const foldersOf = (files: readonly SourceFile[]): Graph => {
  const folders = new Map<string, Set<string>>();
  for (const file of files) {
    const from = folderOf(file.path);
    if (from === undefined) continue;
    const to = folders.get(from) ?? new Set();
    folders.set(from, to);
    for (const spelling of file.imports) {
      const folder = spelling.startsWith('.') ? folderOf(target(file, spelling)) : undefined;
      if (folder !== undefined && folder !== from) to.add(folder);
    }
  }
  return folders;
};

/** A graph without circles, less each import that is also reached by way of another: few enough arrows to read. */
export const withoutShortcuts = (graph: Graph): Graph =>
  new Map(
    [...graph].map(([from, to]) => {
      const further = new Set([...to].flatMap((next) => [...reachedFrom(graph, next)]));
      return [from, new Set([...to].filter((next) => !further.has(next)))];
    }),
  );

/** The folders of the library as a Mermaid diagram, in an order that depends on nothing but the arrows. */
export const importDiagram = (files: readonly SourceFile[]): string => {
  const arrows = [...withoutShortcuts(foldersOf(files))].flatMap(([from, to]) =>
    [...to].map((next) => `  ${from} --> ${next}`),
  );
  return ['```mermaid', 'flowchart TD', ...arrows.sort(), '```'].join('\n');
};

/** The page with the diagram between its marks. */
export const withDiagram = (page: string, files: readonly SourceFile[]): string => {
  const from = page.indexOf(START);
  const to = page.indexOf(END);
  if (from < 0 || to < from) throw new Error(`the page has no place for the diagram: ${START} … ${END}`);
  return `${page.slice(0, from)}${START}\n${importDiagram(files)}\n${page.slice(to)}`;
};
