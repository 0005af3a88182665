/** What mixes, and looks at what is in them, are called that stand on no wall. They are named before the tools are loaded. */
export const comparedText = {
  unfinished: 'before the finish',
  unsmoothed: 'before smoothing',
  starsAsTheyAre: 'stars as they are',
  afterHours: (hours: string) => `estimate: after ${hours} more`,
  mask: 'The stars of the masters: white is all star, black is none',
  before: (step: string) => `before: ${step}`,
  removedFrom: (line: string) =>
    `Removed from ${line}: grey is nothing, light was taken away, dark was filled; black and white are 4 times the noise`,
} as const;
