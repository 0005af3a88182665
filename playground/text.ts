import type { Remedy } from '../lib/plane/errors.ts';
import type { LevelLimits } from '../lib/prepare/levels.ts';
import type { Reason } from './model/assign.ts';

/** What helps on the page, by the option that other front ends would be given. */
const remedies: Readonly<Record<Remedy['option'], (line: string) => string>> = {
  force: () => 'Choose another name.',
  apart: () => 'Register the masters of this line to one frame, or close one of them.',
  time: (line) => `Type the hours of ${line} under Hours.`,
  sky: (line) => `Give the sky of ${line} too, or leave its read noise out.`,
  box: () => 'Draw a box around the feature with Boxes.',
  share: () => 'Use a recipe that states the share, or one without a continuum.',
  scale: () => 'Use a recipe whose scale does not depend on hours, or a master whose header states them.',
};

const list = (words: readonly string[]): string => words.join(', ');

/** The curves by the names that the page has for them; a bias is a calibration frame to every imager. */
export const curveWords = {
  linear: 'straight',
  power: 'power',
  log: 'logarithm',
  asinh: 'asinh',
  bias: 'midpoint',
  points: 'by points',
} as const;

/** Every word on the page as it opens, in one place; those about hours come with hours. */
export const text = {
  app: {
    title: 'linewash',
    invite: 'This is an invented scene. Drop your own FITS or TIFF masters anywhere on this page.',
    private: 'Nothing leaves this computer.',
    choose: 'Open files…',
    surround: 'Surround',
    surrounds: { light: 'light', dark: 'dark', night: 'night' },
    drawers: { mix: 'Mix', lines: 'Lines', wall: 'Wall', hours: 'Hours', save: 'Save' },
    drawersLabel: 'Mix and hours',
    panels: { lines: 'Lines', bench: 'Recipe', wall: 'Wall' },
    panelsLabel: 'Panels',
    keys: 'Keys',
    keysOf: 'Keys (?)',
    hours: 'Noise and hours',
    notLoaded: 'This part of the page could not be loaded.',
    notLoadedAdvice: 'Copy the link of your mix, then reload the page.',
    drop: 'Let go to open these masters',
    skip: 'Skip to the weights',
  },
  picture: {
    label: 'Picture',
    keys: 'Arrow keys move the picture, plus and minus zoom, 0 shows all of it, 1 shows its pixels one to one.',
    probeKeys: 'Arrow keys move the probe, Enter holds it and gives them back to the picture.',
    none: 'No picture yet',
    size: (width: number, height: number) => `${width} × ${height}`,
    describe: (name: string, width: number, height: number) => `${name}, ${width} × ${height} pixels`,
    fit: 'Fit',
    pixels: '1:1',
    closer: 'Zoom in',
    farther: 'Zoom out',
    zoom: (percent: string) => `${percent} %`,
    zoomLabel: 'Zoom',
    tools: 'Tools',
    working: 'Mixing…',
    step: (words: string, done: number) => `${words}: ${Math.round(100 * done)} %`,
  },
  alone: {
    look: 'Look',
    lookAt: (line: string) => `Look at ${line} alone`,
    shown: (line: string, file: string | undefined) =>
      file === undefined ? `${line} alone` : `${line} alone: ${file}`,
    back: 'Back to the mix',
  },
  tools: {
    probe: 'Probe',
    compare: 'Compare',
    marks: 'Marks',
    box: 'Boxes',
    shifts: 'Shifts',
    sky: 'Background',
    hold: 'Hold a colour',
    eyes: 'Seen by',
    seenBy: {
      all: 'full colour vision',
      protan: 'no red cones',
      deutan: 'no green cones',
      tritan: 'no blue cones',
    },
  },
  mix: {
    title: 'Weights',
    caption: 'How much of each line goes to red, green and blue',
    rows: ['red', 'green', 'blue'],
    corner: 'colour',
    sum: 'sum',
    cell: (line: string, row: string) => `${line} in ${row}`,
    noMaster: 'no master',
    balance: 'Balance',
    balances: {
      'as-written': 'as written',
      rows: 'rows to 1',
      peak: 'peak to 1',
      absolute: 'absolute to 1',
      white: 'lines to white',
      'equal-light': 'equal light',
    },
    setWeight: (line: string, row: string) => `weight of ${line} in ${row}`,
    setBalance: 'balance',
    knobs: 'Knobs',
    more: 'More choices',
    setKnob: (name: string) => `knob ${name}`,
    undo: 'Undo',
    redo: 'Redo',
    undoWhat: (what: string) => `Undo: ${what}`,
    redoWhat: (what: string) => `Redo: ${what}`,
  },
  number: {
    empty: 'Type a number.',
    'not-a-number': 'This is not a number.',
    ambiguous: 'This could mean two numbers: use a decimal point.',
    range: (min: string, max: string) => `Type a number from ${min} to ${max}.`,
  },
  recipe: {
    label: 'Recipe',
    own: 'your own mix',
    ownWas: (name: string) => `${name}, changed`,
    chose: (name: string) => `recipe ${name}`,
    changed: 'A mix of your own. Undo goes back step by step; “Keep in my library” keeps it under its name.',
    needs: (lines: readonly string[]) => `needs ${list(lines)}`,
    opened: (name: string) => `recipe ${name} opened`,
    unnamed: 'without a name',
    even: 'Even spread',
    adapted: 'recipe for these masters',
    adaptedTo: (missing: readonly string[], name: string) =>
      `There is no master for ${list(missing)}, so the recipe is now ${name}. Undo brings the other back.`,
  },
  wall: {
    title: 'Wall',
    about: 'Every recipe on these masters',
    use: (name: string) => `Use ${name}`,
    current: 'on screen',
    compare: 'Compare',
    pin: 'Pin',
    unpin: 'Unpin',
    takeDown: 'Take down',
    act: (what: string, name: string) => `${what}: ${name}`,
    figures: {
      separation: (v: number) => `ΔE ${v.toFixed(0)}`,
      noise: (v: number) => `${(1000 * v).toFixed(0)} ‰`,
      outside: (v: number) => `${(100 * v).toFixed(0)} %`,
    },
    keep: 'Pin this mix',
    variant: (name: string, number: number) => `${name.replace(/, variant \d+$/, '')}, variant ${number}`,
    arrange: 'Sort, crop, print',
    widen: 'Widen',
    narrow: 'Back to a row',
    map: 'Map',
    mapOf: 'Noise of the sky one way, separation of the lines the other',
    noRoom: 'The map needs a wider window; the wall stays in rows here.',
  },
  lines: {
    title: 'Lines',
    opening: (name: string) => `Opening ${name}`,
    measuring: 'Measuring',
    large: (gigabytes: string) =>
      `These masters have ${gigabytes} GB. They are read piece by piece; only small copies stay in memory.`,
    cancel: 'Cancel',
    none: 'No masters are open.',
    line: 'Line',
    noLine: 'not used',
    remove: 'Close',
    removeWhat: (file: string) => `Close ${file}`,
    openedStep: (files: readonly string[]) => `opening of ${list(files)}`,
    size: 'size',
    filter: 'filter',
    hours: 'hours',
    level: 'sky',
    noise: 'noise',
    saturated: 'saturated',
    pixels: (width: number, height: number) => `${width} × ${height}`,
    hoursOf: (hours: number) => `${hours.toFixed(1)} h`,
    unknown: '–',
    target: 'Sky shown at',
    targetOf: (line: string) => `Sky of ${line} shown at`,
    setTarget: (line: string) => `sky of ${line}`,
    lineOf: (file: string) => `line of ${file}`,
    exchanged: (one: string, other: string) => `${one} and ${other} exchanged`,
    together: (line: string, file: string) => `${line}, together with ${file}`,
    combined: (shares: readonly string[], gain: string | undefined) =>
      `${shares.length} masters combined (${shares.join(' + ')})` +
      (gain === undefined ? '' : `: ${gain} × less noise than the best of them`),
    reason: (reason: Reason): string => {
      if (reason.kind === 'header') return `by its header: ${reason.keyword} = ${reason.value}`;
      if (reason.kind === 'name') return 'by its file name';
      if (reason.kind === 'chosen') return 'chosen by you';
      if (reason.kind === 'left') return 'the one line left over';
      if (reason.kind === 'taken') return 'another master has its line';
      if (reason.kind === 'together') return 'combined with the other of its line';
      if (reason.kind === 'apart') return `not combined: ${reason.why}`;
      return 'neither header nor name says its line: choose one';
    },
  },
  histogram: {
    describe: (
      line: string,
      black: string,
      white: string,
      curve: keyof typeof curveWords,
      { limits }: { limits?: LevelLimits },
    ) =>
      `Values of ${line}: black at ${black}${limits?.black ? ' (its darkest 0.05 %)' : ''}, white at ${white}${
        limits?.white === 'maximum' ? ' (its brightest pixel)' : ''
      }, curve ${curveWords[curve]}`,
    plain: (line: string) => `Values of ${line}; not used in this mix`,
    handles: { black: 'black', middle: 'middle', white: 'white' },
    handleOf: (handle: string, line: string) => `${handle} of ${line}`,
    unit: '× spread',
    sky: 'sky',
  },
  save: {
    title: 'Save',
    kind: 'As',
    kinds: {
      'tiff-16': 'TIFF, 16 bits',
      'tiff-float': 'TIFF, 32-bit float',
      'fits-float': 'FITS, 32-bit float',
      'png-16': 'PNG, 16 bits',
      'png-8': 'PNG, 8 bits',
      recipe: 'recipe only',
    },
    button: 'Save picture',
    recipeButton: 'Save recipe',
    size: (width: number, height: number, bytes: string) => `${width} × ${height} pixels, ${bytes}`,
    carries: 'The file carries the recipe and every number it took.',
    cancel: 'Cancel',
    progress: (file: string) => `Saving ${file}`,
    crop: 'Crop to what all lines cover',
    cropStep: 'crop',
    cropWhole: 'All lines cover all of the picture: nothing is cut.',
    saved: (file: string) => `${file} is saved`,
    tooLarge: (bytes: string) => `This picture has ${bytes}, and this browser must hold all of it in memory first.`,
    tooLargeAdvice: 'Copy the command and run it, or use a browser that can write to disk.',
    anyway: 'Save all the same',
    cancelled: 'Saving was cancelled; nothing was kept.',
    unnamed: 'own mix',
  },
  stars: {
    title: 'Stars',
    laid: (names: readonly string[]) => `${list(names)}: laid over the mix as stars.`,
    remove: 'Take them off',
  },
  print: { sheet: 'The wall as it is printed' },
  link: {
    opened: (name: string) => `The link holds the recipe ${name}. It is on screen now; undo brings back yours.`,
    copy: 'Copy link',
    copied: 'The link to this recipe is copied. It holds the recipe itself; no server is involved.',
    command: 'Copy command',
    commandCopied: 'The command that makes this picture is copied.',
  },
  messages: {
    label: 'Messages',
    dismiss: 'Dismiss',
    defect: 'Linewash made a mistake of its own.',
    entry: (number: number) => `entry ${number}`,
    notAllowed: 'a recipe cannot have this value here',
    remedies,
    unsaid: 'This cannot be done with these masters and this recipe.',
    restarted: 'The worker stopped and was started again; your mix is as it was.',
    noWeights: 'All weights are zero: there is nothing to mix.',
    missing: (lines: readonly string[]) =>
      `This mix needs ${list(lines)}, and no master stands for ${lines.length > 1 ? 'them' : 'it'}.`,
    missingAdvice: 'Give a master that line, or choose another recipe.',
    notOpened: (file: string) => `${file} is neither a master nor a recipe`,
  },
} as const;
