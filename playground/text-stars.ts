import { curveWords } from './text.ts';

/** Words about a picture of the stars. */
export const text = {
  title: 'Stars',
  about: 'One colour picture, or three masters for red, green and blue, is laid over the mix by screen.',
  choose: 'Lay stars over…',
  other: 'Other stars…',
  remove: 'Take them off',
  number: 'Choose one colour picture, or three masters: red, green, blue.',
  order: (names: readonly string[]) => `red ${names[0]}, green ${names[1]}, blue ${names[2]}`,
  strength: 'Strength',
  curve: 'Curve',
  curves: { '': 'what suits it', ...curveWords },
  level: 'Faint stars shown at',
  black: 'Black',
  blacks: { '': 'what suits it', noise: 'above its sky by' },
  blackBy: 'Black above its sky by',
  blackUnit: '× spread',
  white: 'White',
  whites: { '': 'what suits it', percentile: 'at percentile' },
  whiteAt: 'White at percentile',
  below: 'Marks and wall show the mix below the stars.',
  noted: (words: string) => `Note: ${words}.`,
  step: (what: string) => `stars: ${what.toLowerCase()}`,
} as const;
