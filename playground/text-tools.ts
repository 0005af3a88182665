type ShiftNumber = 'dx' | 'dy' | 'rotation' | 'growth' | 'most' | 'used';

/** Words of the tools that lie over the picture; loaded with the first of them. */
export const toolsText = {
  probe: {
    label: 'Probe',
    hint: 'Point at the picture, or focus it and use the arrow keys. A click or Enter holds the pixel.',
    caption: 'What each line brings to this pixel',
    line: 'line',
    value: 'in the master',
    strength: 'strength',
    colours: ['red', 'green', 'blue'],
    share: (percent: string) => `(${percent})`,
    mixed: 'mixed',
    noData: 'no data',
    pixel: 'pixel',
    at: (x: number, y: number) => `${x}, ${y}`,
    shown: 'shown',
    rgb: (values: readonly string[]) => values.join('  '),
    oklch: 'OKLCH',
    oklchOf: (lightness: string, chroma: string, hue: string) => `${lightness}  ${chroma}  ${hue}°`,
    noise: 'noise ±',
    noiseFrom: 'from the noise of the sky alone; the object adds a little of its own',
    undefined: 'A line has no data here.',
    outside: (colours: readonly string[]) => `Less than none of ${colours.join(' and ')}: out of gamut.`,
    full: (colours: readonly string[]) => `Full strength in ${colours.join(' and ')}.`,
    inside: 'Within the range.',
    hold: 'Hold',
    held: 'Let go',
    copy: 'Copy as JSON',
    copied: 'The numbers of this pixel are copied as JSON.',
    linked: 'The same pixel on the wall',
    said: (at: string, rgb: string) => `Pixel ${at}: ${rgb}`,
  },
  compare: {
    label: 'Compare',
    with: 'With',
    place: (place: number) => (place === 0 ? 'With' : `With, number ${place + 1}`),
    add: 'Add another',
    remove: (name: string) => `Take ${name} away`,
    beside: 'Side by side',
    mix: (name: string) => `${name}, the mix`,
    cell: (place: number, name: string) => `Mix ${place}: ${name}`,
    useOf: (name: string) => `Make it the mix: ${name}`,
    edge: (name: string, other: string) => `Edge between ${name} and ${other}`,
    where: (percent: number, name: string, other: string) =>
      `${name} on the left ${percent} % of the view, ${other} on the rest`,
    flick: 'Hold to see it whole',
    flickKey: 'Holding the space bar on the picture does the same.',
    use: 'Make it the mix',
    none: 'There is nothing on the wall to compare with.',
    working: 'Mixing…',
  },
  marks: {
    label: 'Marks',
    kinds: { outside: 'out of gamut', full: 'full strength', black: 'black', undefined: 'no data' },
    about: {
      outside: 'less than none of a colour is asked for',
      full: 'a colour is at its end before highlights',
      black: 'no colour has any light',
      undefined: 'a line has no value',
    },
    share: (percent: string) => `${percent} of the picture`,
    part: (percent: string) => `${percent} of the part in view`,
    counting: 'counting…',
  },
  tones: {
    caption: (part: boolean) =>
      `Histogram of the ${part ? 'part in view' : 'picture'} on screen: share of its pixels that have none of a colour, the middle value, and share that has all of it`,
    of: (part: boolean) => (part ? 'in view' : 'picture'),
    none: 'none',
    middle: 'middle',
    full: 'full',
    about: {
      none: 'share of the pixels on screen that have none of the colour',
      middle: 'half of the pixels are no lighter, from 0 to 1',
      full: 'share of the pixels on screen that have all of the colour',
    },
    rows: ['red', 'green', 'blue', 'luminance'],
  },
  shifts: {
    label: 'Shifts',
    one: 'Two lines are needed: how one lies on the other is measured.',
    looking: 'Looking how the lines lie on each other…',
    unknown: (line: string, reason: string) => `${line}: not known, ${reason}`,
    numbers: (line: string, reference: string, n: Readonly<Record<ShiftNumber, number>>) => {
      const parts = [
        `${Math.abs(n.dx).toFixed(2)} px ${n.dx < 0 ? 'left' : 'right'}`,
        `${Math.abs(n.dy).toFixed(2)} px ${n.dy < 0 ? 'up' : 'down'}`,
        ...(Math.abs(n.rotation) >= 0.005
          ? [`turned ${Math.abs(n.rotation).toFixed(2)}° ${n.rotation < 0 ? 'anticlockwise' : 'clockwise'}`]
          : []),
        ...(Math.abs(n.growth) >= 0.005
          ? [`${Math.abs(n.growth).toFixed(2)} % ${n.growth < 0 ? 'smaller' : 'larger'}`]
          : []),
      ];
      return `${line} against ${reference}: ${parts.join(', ')}; at most ${n.most.toFixed(2)} px, in ${n.used} places`;
    },
    about: (reference: string, factor: number) =>
      `Arrows are ${factor} times as long as the shifts. Each begins where ${reference} has a place and points to where the line has it; crosses are places left out.`,
  },
  sky: {
    label: 'Background',
    line: 'Line',
    show: 'What is shown',
    views: { line: 'the line', surface: 'its background surface', rest: 'what is left' },
    order: 'Try',
    orders: {
      best: 'the most certain surface',
      1: 'a tilted plane',
      2: 'a surface of order 2',
      3: 'a surface of order 3',
      4: 'a surface of order 4',
    },
    take: 'Take it off all lines',
    taken: 'The recipe takes it off all lines.',
    step: 'background surface',
    looking: 'Looking at the background…',
    numbers: (line: string, used: number, blocks: number, rms: string, noise: string) =>
      `${line}: ${used} of ${blocks} blocks used; they scatter by ${rms} about the surface, one pixel by ${noise} from the next.`,
    certainty: (order: number, by: string | undefined) =>
      by === undefined
        ? `How certain this surface of order ${order} is cannot be known: too few blocks.`
        : `This surface of order ${order} is uncertain by ${by} over the frame.`,
    about: {
      line: 'The line as it is. Dots are blocks that the surface rests on; crosses are rejected: they hold nebula or stars.',
      surface:
        'The surface from dark to bright; squares hold the level that was measured. Where they vanish, both agree; those with a frame are rejected: they hold nebula or stars.',
      rest: 'The line with its surface taken off: the sky should be even. Dots are blocks it rests on, crosses are rejected.',
    },
  },
  box: {
    label: 'Boxes',
    kinds: {
      background: 'Background',
      feature: 'Feature',
      include: 'Surface: sky',
      exclude: 'Surface: left out',
    },
    numbered: (kind: string, number: number) => `${kind} ${number}`,
    about: {
      background: 'Sky without nebula: the level of each line is taken from it.',
      feature: 'The feature that matters to you. Noise and hours are given for it.',
      include:
        'Boxes of sky that the background surface rests on; nothing else is looked at, so draw several, all over the picture. A surface is taken off from the first on. In the recipe: include.',
      exclude:
        'Boxes over nebula or stars that the background surface leaves out. A surface is taken off from the first on. In the recipe: exclude.',
    },
    sides: { x: 'left', y: 'top', width: 'width', height: 'height' },
    side: (kind: string, side: string) => `${kind}: ${side}`,
    draw: 'Draw it',
    drawing: 'Drag over the picture…',
    place: 'Put it in the middle of the view',
    remove: 'Remove',
    removeOne: (name: string) => `Remove ${name}`,
    surface: 'box of the surface',
    surfaceRemoved: 'no box of the surface',
    changed: 'box of sky',
    removed: 'no box of sky',
    feature: 'box of the feature',
    noFeature: 'no box of a feature',
    small: 'A box needs at least 6 × 6 pixels.',
  },
} as const;
