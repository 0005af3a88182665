import type { PlaceName } from '../lib/recipe/suggest/hold.ts';

/** Words of the tool that holds colours; loaded with it. */
export const text = {
  label: 'Hold colours',
  hint: 'Hold a pixel with the probe (a click or Enter), then give it a colour. The weights that change least follow.',
  add: 'Give this place a colour…',
  list: 'Places and their colours',
  place: (place: PlaceName) => (place === 'sky' ? 'the sky' : `place ${place + 1}`),
  at: (x: number, y: number) => `${x}, ${y}`,
  colour: (place: string) => `Colour of ${place}: chroma@hue or CSS`,
  pick: (place: string) => `Choose the colour of ${place}`,
  bright: 'Chosen colours keep the brightness of their place',
  removeOne: (place: string) => `Remove ${place}`,
  missed: (difference: string) => `misses by ${difference}`,
  met: 'reached',
  working: 'Working out the weights…',
  price: (factor: string) => `Noise: ${factor} × that of before. The sky stays grey.`,
  conflict: (place: string, like: string, cosine: string) =>
    `${place} misses its colour. Its light is most like that of ${like} (cosine ${cosine}).`,
  large: (line: string, colour: string, weight: string, times: string) =>
    `The weight of ${line} in ${colour} is ${weight}: errors of ${line} such as an uneven sky show ${times} times as strongly.`,
  apply: 'Apply to the weights',
  applied: 'held colours',
};
