/** One step of a page: a file that the reader saves, or a command that the reader runs. */
export type Step =
  | { readonly kind: 'file'; readonly path: string; readonly content: string }
  | { readonly kind: 'command'; readonly words: readonly string[]; readonly into?: string };

/** A JSON block whose sentence ends in "As `demo/NAME`:", or a line that starts with `npx linewash`. */
const STEP = /As `(?<path>demo\/[^`]+)`:\n\n```json\n(?<content>[\s\S]*?)```|^npx linewash (?<command>.+)$/gm;

/** The steps of a page in order, in a folder of their own instead of the reader's. */
export const stepsOf = (page: string, folder: string): Step[] => {
  const moved = (word: string) => word.replace(/(^|=|,)demo(?=\/|$)/g, `$1${folder}/demo`);
  return [...page.matchAll(STEP)].map(({ groups }): Step => {
    const { path, content, command } = groups!;
    if (path !== undefined) return { kind: 'file', path: moved(path), content: content! };
    const [line, into] = command!.split(' > ');
    const words = line!.split(' ').map(moved);
    return into === undefined ? { kind: 'command', words } : { kind: 'command', words, into: moved(into) };
  });
};
