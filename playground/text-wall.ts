/** Words about the order of the wall; loaded when it is first changed. */
export const wallText = {
  order: 'Order by',
  orders: {
    listed: 'as listed',
    separation: 'separation of the lines',
    noise: 'noise of the sky',
    outside: 'share out of range',
  },
  about: {
    listed: '',
    separation: 'CIEDE2000 between the two lines whose colours are closest, for the eyes chosen below the picture.',
    noise: 'What a pixel of sky varies by in red, green and blue together.',
    outside: 'Share of all strengths of the lines whose mix leaves the range.',
  },
  map: {
    list: 'Mixes from the least noise to the most',
    apart: '↑ Lines far apart in colour (CIEDE2000)',
    close: '↓ Lines close in colour',
    quiet: '← Quiet sky',
    noise: 'Noise of the sky',
    noisy: 'Noisy sky →',
    item: (name: string, noise: string, separation: string) => `${name}: noise ${noise}, separation ${separation}`,
    waiting: (known: number, all: number) =>
      known === 0 ? 'The noise of the sky is being measured…' : `${known} of ${all} mixes are on the map so far.`,
    single: (names: readonly string[]) =>
      `Not on the map, for ${names.length > 1 ? 'they use' : 'it uses'} a single line: ${names.join(', ')}.`,
    missing: (count: number) =>
      count === 1 ? 'One more mix needs lines that are not open.' : `${count} more mixes need lines that are not open.`,
  },
  crop: 'Show the part that the picture shows',
  sheet: 'Save as a sheet',
  sheetName: 'wall',
  print: 'Print',
  pinnedOnly: 'Only what is pinned on the sheet',
  drawing: 'Drawing the sheet',
  cancel: 'Cancel',
} as const;
