/** Every word about defects of masters. */
export const text = {
  look: 'Look for defects',
  lookOf: 'Look at each master for trails, bad columns, seams and hot pixels',
  looking: 'Looking at the masters…',
  stop: 'Stop',
  none: 'No trail, bad column, seam or hot pixel was found.',
  title: 'Defects',
  found: (line: string, what: string) => `${line}: ${what}`,
  show: 'Show',
  showOf: (line: string) => `Show ${line} alone at this place`,
  fill: 'Fill hot pixels',
  fillOf: 'Fill the bright spots that one line alone has before mixing; the recipe keeps it',
  fillStep: 'hot pixels filled',
  keepStep: 'hot pixels left',
  over: 'Mark them on the picture',
  more: (count: number) => `and ${count} more`,
} as const;
