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
  crop: 'Show the part that the picture shows',
  sheet: 'Save as a sheet',
  sheetName: 'wall',
  print: 'Print',
  pinnedOnly: 'Only what is pinned on the sheet',
  drawing: 'Drawing the sheet',
  cancel: 'Cancel',
} as const;
