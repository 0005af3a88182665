/** All texts about the pixels that combining rejects. */
export const text = {
  about:
    'Pixels that only one master shows, such as trails and hot pixels, are left out. With two masters, the brighter pixel is left out, ' +
    'so a shadow in one master also removes good pixels from the other.',
  over: 'Mark them on the picture',
  overOf: (line: string) => `Mark the rejected pixels of ${line} on the picture`,
  finding: 'Reading the masters…',
  masters: (line: string) => `Rejected pixels of ${line} by master`,
  pixels: (count: number) => (count === 1 ? '1 pixel' : `${count.toLocaleString('en')} pixels`),
  none: 'none',
  show: 'Show',
  showOf: (file: string) => `Show the largest group in ${file} alone`,
} as const;
