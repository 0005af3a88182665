/** Words about what the page keeps in the browser, and about what is pasted. */
export const text = {
  library: 'Your library',
  legend: 'Legend below the picture',
  name: 'Name',
  nameOf: 'Name of the mix',
  setName: 'name',
  keepIt: 'Keep in my library',
  kept: (name: string) => `${name} is in your library, in this browser. Save it as a file too where it matters.`,
  notKept: 'This browser keeps nothing for this page.',
  notKeptAdvice: 'Save the recipe as a file, or copy its link.',
  remove: 'Take out of my library',
  removed: (name: string) => `${name} is no longer in your library.`,
  unnamed: 'Own mix',
  pasted: (name: string) => `recipe ${name}, pasted`,
  pastedNote: (name: string) => `The recipe ${name} is pasted. Undo brings the other back.`,
  notPasted: 'The pasted text holds no recipe.',
  notPastedAdvice:
    'Paste a recipe, a link to one, or a linewash mix command. To paste a number, click its field first.',
  command: 'the pasted command',
  noRecipe: 'the command names no recipe that this page knows',
  noRecipeAdvice: 'paste a link, a recipe, or a command with a name from the catalogue',
} as const;
