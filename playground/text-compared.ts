/** What mixes are called that stand on no wall. They are named before the tools are loaded. */
export const comparedText = {
  unsmoothed: 'before smoothing',
  starsAsTheyAre: 'stars as they are',
  before: (step: string) => `before: ${step}`,
} as const;
