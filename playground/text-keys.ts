import type { KeyAct } from './model/keys.ts';

/** Words of the list of keys. */
export const text = {
  title: 'Keys',
  close: 'Close',
  page: 'On the page',
  acts: {
    keys: 'show this list',
    panels: 'put all panels away, or bring them back',
    nextLine: 'look at the next line alone',
    previousLine: 'look at the line before',
    removed: 'look at what smoothing removed, line by line',
    mix: 'go back to the mix',
    stars: 'show the mix without its stars, or with them',
    probe: 'probe a pixel',
    compare: 'compare with other mixes',
  } satisfies Readonly<Record<KeyAct, string>>,
  undo: 'undo',
  redo: 'redo',
  picture: 'On the picture',
  pictureKeys: [
    [['←', '→', '↑', '↓'], 'move it; with Shift four times as far'],
    [['+', '−'], 'zoom in and out'],
    [['0'], 'show all of it'],
    [['1'], 'show its pixels one to one'],
    [['Space'], 'look at the other mix while comparing'],
    [['Enter'], 'hold the pixel while probing'],
  ],
  pointer: 'A double click shows the pixels one to one, another all of the picture.',
  fields: 'In a number field',
  fieldKeys: [
    [['↑', '↓'], 'one step; with Shift ten'],
    [['Enter'], 'take what is typed: 0.5, 1/3 or 50 %'],
    [['Esc'], 'leave it as it was'],
  ],
} as const;
