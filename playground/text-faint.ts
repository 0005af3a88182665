const figure = (value: number, digits = 2): string => String(Number(value.toPrecision(digits)));

/** Every word about faint things in a line. */
export const text = {
  about: 'Averages this master over areas of several sizes and outlines what neither noise nor flats explain.',
  look: 'Look for faint things',
  lookIn: (line: string) => `Look for faint things in ${line}`,
  again: 'Look again',
  againIn: (line: string) => `Look again for faint things in ${line}`,
  looking: (line: string) => `Looking at ${line}`,
  stop: 'Stop',
  falseBlobs: 'False outlines by noise',
  falseBlobsOf: 'How many outlines noise alone may make in the whole frame',
  largest: 'Largest size',
  pixels: (size: number) => `${size} px`,
  found: (outlines: number, stated: number, stars: number) =>
    `${outlines === 1 ? '1 outline' : `${outlines} outlines`}. Noise alone makes about ${figure(stated)}. ` +
    `${stars === 1 ? '1 star' : `${stars} stars`} left out.`,
  list: (line: string) => `Faint things in ${line}`,
  feature: (number: number, scale: number) => `${number}: ${scale} px`,
  above: (ratio: number) => `${figure(ratio)} times the limit`,
  to: (aim: number) => `to ${aim}:`,
  reached: 'reached',
  hours: (hours: number, least: number, most: number | undefined) =>
    `${figure(hours)} h (${figure(least)}–${most === undefined ? '?' : figure(most)} h)`,
  noHours: 'No hours can be told.',
  show: 'Show',
  showOf: (number: number) => `Show outline ${number}`,
  plan: 'Plan hours',
  planOf: (number: number) => `Plan hours for outline ${number}`,
  more: (count: number) => `and ${count} more`,
  over: 'Outlines on the picture',
  map: 'The map in place of the picture',
  mapKey: 'Grey: significance, white from 1.5 times the limit on. Violet rims: darker than around. Hatched: unknown.',
  scales: 'Sizes',
  head: { scale: 'size', bright: 'bright', dark: 'dark', known: 'known', least: 'least seen' },
  limits: 'What cannot be told',
  limit: (words: string) => `${words[0]!.toUpperCase()}${words.slice(1)}.`,
  step: 'hours for a faint thing',
} as const;
