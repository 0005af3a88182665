const listed = (lines: readonly string[]): string =>
  lines.length < 2 ? (lines[0] ?? '') : `${lines.slice(0, -1).join(', ')} and ${lines.at(-1)}`;

/** Words of the question what new masters are. */
export const text = {
  question: (lines: readonly string[]) =>
    `${listed(lines)} ${lines.length > 1 ? 'have masters' : 'has a master'} already.`,
  places: { replace: 'Replace these masters', nights: 'Add further nights', target: 'Open another target' },
  about: {
    replace: (lines: readonly string[]) => `Closes the present masters of ${listed(lines)} and keeps the others.`,
    nights: (lines: readonly string[]) => `Combines them with the present masters of ${listed(lines)}.`,
    target: (_: readonly string[]) => 'Keeps the present masters as one target and opens these as another.',
  },
  none: 'Open none of them',
} as const;
