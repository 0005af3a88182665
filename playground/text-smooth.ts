const list = (words: readonly string[]): string =>
  words.length < 2 ? words.join() : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

/** Every word about smoothing. */
export const text = {
  title: 'Smoothing',
  strength: 'Smooth',
  about:
    'Takes noise from weak lines. What goes along with the strong line stays; the rest stays where it exceeds its noise.',
  knobs: (expression: string) => `Follows ${expression} until you move the slider.`,
  is: (lines: readonly string[], guide: string) =>
    `${list(lines)} ${lines.length > 1 ? 'are' : 'is'} smoothed, guided by ${guide}.`,
  noise: (line: string, sigma: string, neighbours: string) =>
    `Noise of ${line}: σ ${sigma} of the master’s units, correlation of neighbours ${neighbours}.`,
  left: (line: string, percent: string) => `Where only noise shows, ${percent} of it is left in ${line}.`,
  compare: 'Before and after',
  compareOf: 'Compare with the mix before smoothing, up to an edge',
  removed: 'What was removed',
  removedOf: 'Show what smoothing removed, line by line (R)',
  more: 'Lines and guide',
  guide: 'Guide',
  strongest: (line: string | undefined) => (line === undefined ? 'strongest line' : `strongest line: ${line}`),
  lines: 'Lines to smooth',
  steps: { strength: 'smoothing', guide: 'guide of smoothing', lines: 'lines to smooth' },
} as const;
