// What `npm run mutation` changes, part by part, and the tests that must notice it: those of the same part,
// without campaigns of random input and without large pictures.
const at = (folder, ...names) => names.map((name) => `${folder}/${name}`);
const READING = at(
  'tests/recipe/written',
  'json',
  'parse',
  'bad-recipes',
  'schema',
  'migrate',
  'check-preparation',
  'plain',
);
const FITS_HEADER = at('tests/formats/fits', 'card', 'header', 'header-limits', 'facts', 'open', 'faults', 'write');
const FITS_TILES = '{dither,deflate-codes,gzip-bytes,gzip-stream,huffman,inflate,rice,tile-*,tiles}';
const THREADS = '{*-worker,pool*}';
const REWRITTEN = '{open-master,histogram,marks,screen,*-worker,bench}';

export const PARTS = {
  mix: { mutate: ['lib/mix/*.ts'], tests: ['tests/mix/*', ...READING] },
  written: {
    mutate: ['lib/recipe/written/*.ts'],
    tests: ['tests/recipe/written/!(fuzz)', 'tests/recipe/share/link'],
  },
  fits: { mutate: at('lib/formats/fits', '{card,header,header-text}.ts'), tests: FITS_HEADER },
  files: {
    mutate: ['lib/node/files/*.ts'],
    tests: ['tests/node/files/*'],
  },
  'fits-rows': {
    mutate: at('lib/formats/fits', `!(card|header|header-text|${FITS_TILES.slice(1, -1).replaceAll(',', '|')}).ts`),
    tests: [
      ...FITS_HEADER,
      ...at('tests/formats/fits', 'block-cache', 'committed', 'rows', 'scaling', 'tiles', 'gzip'),
    ],
  },
  'fits-tiles': {
    mutate: at('lib/formats/fits', `${FITS_TILES}.ts`),
    tests: at('tests/formats/fits', 'gzip', 'inflate', 'rice', 'tiles', 'faults', 'committed', 'rows'),
  },
  tiff: {
    mutate: ['lib/formats/tiff/*.ts'],
    tests: at('tests/formats/tiff', 'decoders', 'faults', 'guards', 'matrix', 'reading-rules', 'refusals', 'write'),
  },
  pictures: {
    mutate: ['lib/formats/*.ts', 'lib/formats/png/*.ts'],
    tests: [
      'tests/formats/*',
      'tests/formats/png/*',
      ...at('tests/formats/tiff', 'write'),
      ...at('tests/formats/fits', 'write'),
    ],
  },
  plane: {
    mutate: ['lib/plane/*.ts', 'lib/palettes/*.ts'],
    tests: [
      'tests/plane/*',
      'tests/palettes/*',
      'tests/measure/*',
      'tests/prepare/*',
      ...at('tests/formats/fits', 'committed', 'write'),
    ],
  },
  measure: { mutate: ['lib/measure/*.ts'], tests: ['tests/measure/*'] },
  registration: {
    mutate: ['lib/measure/registration/*.ts'],
    tests: ['tests/measure/registration/!(real)'],
  },
  prepare: {
    mutate: ['lib/prepare/**/*.ts'],
    tests: ['tests/prepare/*', 'tests/recipe/settle/background', 'tests/node/threads/*'],
  },
  colour: { mutate: ['lib/colour/**/*.ts', 'lib/stretch/*.ts'], tests: ['tests/colour/**/*', 'tests/stretch/*'] },
  hours: { mutate: ['lib/hours/**/*.ts'], tests: ['tests/hours/*'] },
  settle: {
    mutate: ['lib/recipe/{settle,share}/*.ts'],
    tests: ['tests/recipe/{settle,share}/*', 'tests/palettes/*'],
  },
  suggest: { mutate: ['lib/recipe/suggest/*.ts'], tests: ['tests/recipe/suggest/*'] },
  render: {
    mutate: ['lib/render/*.ts', 'lib/render/caption/*.ts'],
    tests: ['tests/render/*', 'tests/parity/*', 'tests/node/sheet', 'tests/node/threads/*', 'tests/node/batch/stars'],
  },
  node: {
    mutate: [
      'lib/node/*.ts',
      'lib/node/masters/*.ts',
      `lib/node/threads/!(${THREADS.slice(1, -1).replaceAll(',', '|')}).ts`,
    ],
    tests: ['tests/node/*', 'tests/node/{masters,cache}/*', 'tests/node/threads/!(pool)', 'tests/cli/*'],
  },
  batch: {
    mutate: at('lib/node/batch', '!(job-worker).ts'),
    tests: ['tests/node/batch/!(processes)', 'tests/cli/batch'],
  },
  cli: { mutate: at('lib/cli', '!(main).ts'), tests: ['tests/cli/*'] },
  web: { mutate: at('lib/web', `!(${REWRITTEN.slice(1, -1).replaceAll(',', '|')}).ts`), tests: ['tests/web/**/*'] },
};

/** Titles of single tests (`it('TITLE'`) left out: with large data, or with limits of time and memory that changed code does not keep. */
export const LARGE = [
  'takes no more from a bomb than is asked for',
  'thins out the places to go back to in large files',
  'reads anywhere in any order, also at once',
  'does not depend on pedestal, strength or units of the values',
  'makes 21 of 24 pictures where one master of 8 targets is bad',
];

/** The text of a test file in which the tests of these titles are skipped. */
export const skipTitles = (text, titles) =>
  titles.reduce((rest, title) => {
    const literal = title.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
    return rest.replace(new RegExp(`\\bit\\((\\s*'${literal}')`, 'g'), 'it.skip($1');
  }, text);
