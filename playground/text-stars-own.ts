const list = (words: readonly string[]): string =>
  words.length < 2 ? words.join() : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

const thousands = new Intl.NumberFormat('en').format;

const stars = (count: number): string => (count === 1 ? '1 star' : `${thousands(count)} stars`);

/** Words about the stars that the masters themselves hold. */
export const text = {
  title: 'Stars',
  about:
    'Finds the stars in the masters. Neutral gives them one colour at the brightness they have; size takes their light away, at 0 all of it.',
  neutral: 'Neutral',
  size: 'Size',
  tint: 'Colour of neutral stars',
  white: 'White',
  whiteOf: 'Make neutral stars white again',
  finding: 'Finding the stars in the masters…',
  stop: 'Leave them as they are',
  found: (count: number, lines: readonly string[]) => `${stars(count)} found in ${list(lines)}.`,
  none: 'No stars are found in these masters.',
  compare: 'Before and after',
  compareOf: 'Compare with the mix and its stars as they are, up to an edge',
  rings: 'Rings',
  ringsOf: 'Ring the stars that are found over the picture',
  ringed: (drawn: number, inView: number) =>
    drawn < inView
      ? `Rings mark the ${thousands(drawn)} most prominent of ${stars(inView)} in view.`
      : `Rings mark ${stars(inView)} in view.`,
  mask: 'Mask',
  maskOf: 'Show which pixels belong to stars',
  shapes: 'Shape of the stars by line',
  columns: { line: 'Line', fwhm: 'FWHM', ellipticity: 'Ellipticity' },
  columnsOf: {
    fwhm: 'full width at half maximum, in pixels of the master',
    ellipticity: '1 less the short axis over the long one: 0 is round; behind it the direction of the long axis',
  },
  pixels: (width: string) => `${width} px`,
  angle: (degrees: string) => `at ${degrees}°`,
  picture: 'A picture of the stars instead',
  pictureWhy:
    'A mix takes its stars either from the masters or from such a picture, so that no star is there twice. What you use last counts.',
  waiting: 'The picture is open but not laid over: the mix changes the stars of the masters.',
  layOver: 'Lay it over instead',
  steps: {
    neutral: 'neutral stars',
    size: 'size of stars',
    tint: 'colour of stars',
    asTheyAre: 'stars as they are',
  },
} as const;
