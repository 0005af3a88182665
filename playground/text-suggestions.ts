/** Words about mixes that are computed from the masters. */
export const text = {
  suggest: 'Suggest mixes',
  label: 'Suggestions',
  working: 'Looking at the masters…',
  cancel: 'Cancel',
  clear: 'Take down',
  hung: (count: number) => `${count} suggested`,
  reasons: 'Their reasons and their price',
  figures: (apart: string | undefined, gain: string, noise: string) =>
    `${apart === undefined ? '' : `lines ${apart} apart, `}${gain} × the colour spread of a plain mix, ${noise} × its noise`,
  leftOut: 'Looked at and not offered',
  use: (name: string) => `Use ${name}`,
  chose: (name: string) => `suggestion ${name}`,
} as const;
