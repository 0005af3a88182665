/** Words about masters that do not fit together. */
export const text = {
  title: 'Worth a look',
  looking: 'Looking whether the masters fit together…',
  saturated: (file: string, percent: string) =>
    `${file}: ${percent} of its pixels are at the top of the range; shorter subs, mixed in, would keep the colour of bright stars`,
  stretched: (file: string) => `${file} looks stretched already`,
  straight: 'Show it as it is',
  straightened: (line: string) => `curve of ${line}`,
  exchange: (one: string, other: string) => `Exchange ${one} and ${other}`,
  give: (line: string) => `Make it ${line}`,
  leaveOut: (line: string) => `Mix without ${line}`,
  showShifts: 'Show the shifts',
  faint: (line: string, others: readonly string[]) =>
    `${line} holds almost nothing but noise here; a mix of ${others.join(' and ')} alone would be calmer`,
  two: (lines: readonly string[]) => `Mix ${lines.join(' and ')} alone`,
  twoName: (lines: readonly string[]) => `${lines.join(' and ')} alone`,
} as const;
