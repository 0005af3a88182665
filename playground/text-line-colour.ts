/** Words about the colours of lines. */
export const text = {
  pick: (line: string) => `Colour of ${line}`,
  write: (line: string) => `Colour of ${line}, written`,
  hint: 'A CSS colour, or a wavelength such as 656.28 nm',
  set: (line: string) => `colour of ${line}`,
  unused: 'not used',
  none: 'write a colour such as #c45a00, or a wavelength such as 656.28 nm',
  outside: 'light is seen from 380 to 780 nm',
} as const;
