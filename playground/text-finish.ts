/** Every word about the finish of a mix. */
export const text = {
  title: 'Finish',
  chroma: 'Chroma',
  aboutChroma:
    'Raises the chroma of what is brighter than the sky. The sky stays calm, and what is colourful already stays.',
  auto: 'Auto',
  autoOf: 'Find the gain from the picture: 5 % of the pixels without stars then exceed an OKLab chroma of 0.12',
  knobs: (expression: string) => `Follows ${expression} until you move the slider.`,
  found: (gain: string) => `Found from the picture: ${gain}.`,
  tone: 'Tone',
  aboutTone: 'The curve over lightness. Click it for a point; drag points; Delete removes one.',
  toneOf: (points: number) =>
    points === 0 ? 'Tone curve: straight' : `Tone curve through ${points} ${points === 1 ? 'point' : 'points'}`,
  point: (x: string, y: string) => `Lightness ${x} becomes ${y}`,
  pointName: (n: number) => `Point ${n} of the tone curve`,
  add: 'Add a point',
  straight: 'Straight',
  straightOf: 'Remove all points',
  hues: 'Hues',
  aboutHues: 'The hues of this picture. Take hold of one and pull it to where you want it; its neighbours follow.',
  huesOf: (bends: readonly { readonly at: number; readonly to: number }[]) =>
    ['The hues of this picture', ...bends.map(({ at, to }) => `hue ${at}° becomes ${to}°`)].join('; '),
  addHue: 'Move a hue',
  fields: { at: 'From', to: 'To', width: 'Width', chroma: 'Chroma' },
  fieldOf: (n: number, field: string) => `${field} of hue ${n}`,
  remove: (n: number) => `Remove hue ${n}`,
  scope: 'Scope',
  scopeOf:
    'Colours of the picture in OKLab: grey in the middle, hue by direction, chroma by distance. The outline is what the space can show; spokes are the colours of the lines as they rise.',
  compare: 'Before and after',
  compareOf: 'Compare with the mix before its finish, up to an edge',
  steps: { chroma: 'chroma', tone: 'tone curve', hues: 'hues' },
} as const;
