const list = (words: readonly string[]): string => words.join(', ');

/** Words about several targets. */
export const text = {
  label: 'Target',
  all: 'All targets',
  ownMix: 'your own mix',
  wallTitle: (recipe: string) => `All targets by ${recipe}`,
  onScreen: 'on screen',
  mixing: 'Mixing…',
  lacks: (lines: readonly string[]) => `needs ${list(lines)}`,
  sheetName: 'Targets',
  saveSheet: 'Save as a sheet',
  sheetAbout: (recipes: readonly string[]) =>
    `The sheet has a row for each target and a column for each mix: ${list(recipes)}. Pin mixes on the wall to add them.`,
  sheetSaved: (file: string) => `Saved ${file}.`,
  cancel: 'Cancel',
  close: 'Close',
  opened: (targets: readonly { readonly name: string; readonly lines: readonly string[] }[]) =>
    `These are masters of ${targets.length} targets: ${targets
      .map(({ name, lines }) => `${name} (${list(lines) || 'no line'})`)
      .join(', ')}. The head of the page switches between them.`,
  openedStep: (names: readonly string[]) => `targets ${list(names)} opened`,
  switched: (name: string) => `target ${name}`,
  unnamed: (number: number) => `Target ${number}`,
  back: 'Your mix of last time is back.',
  openAgain: (files: readonly string[]) => `Masters are not kept: open them again (${list(files)}).`,
  mayOpen: (files: readonly string[]) => `Allow the page to read your masters again: ${list(files)}.`,
  opening: (name: string) => `Opening ${name}`,
  openThem: 'Open them',
  chooseThem: 'Choose them…',
  notFound: (files: readonly string[]) => `Not found: ${list(files)}.`,
  notFoundAdvice: 'They were moved, renamed or not chosen. Choose them again, or drop them on the page.',
} as const;
