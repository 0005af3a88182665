/** Every word about pixels that combining rejected. */
export const text = {
  about:
    'What one master shows and the others do not is left out: trails, hot pixels. Of two masters the brighter one is taken for wrong: ' +
    'where one has a shadow, the other is left out.',
  over: 'Mark them on the picture',
  overOf: (line: string) => `Mark the rejected pixels of ${line} on the picture`,
  finding: 'Reading the masters…',
  masters: (line: string) => `Rejected pixels of ${line} by master`,
  pixels: (count: number) => (count === 1 ? '1 pixel' : `${count.toLocaleString('en')} pixels`),
  none: 'none',
  show: 'Show',
  showOf: (file: string) => `Show the largest group in ${file} alone`,
} as const;
