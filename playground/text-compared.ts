/** What mixes are called that stand on no wall. They are named before the tools are loaded. */
export const comparedText = {
  unsmoothed: 'before smoothing',
  before: (step: string) => `before: ${step}`,
} as const;
