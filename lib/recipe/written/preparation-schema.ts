import * as v from 'valibot';
import { CURVE_NAMES } from '../../stretch/curves.ts';
import { about, anyNumber, byChannel, channelName, choice, expression, number, shown } from './fields.ts';
import { MOST_SPOTS, SCALES_RANGE } from './limits.ts';

const point = v.strictTuple([number(0, 1), number(0, 1)]);

export const stretch = v.strictObject({
  curve: about(v.optional(choice(CURVE_NAMES)), 'Family of curves (default: `bias`).'),
  a: about(v.optional(number(1e-9, 1e9)), "The curve's parameter (default: found from `background`)."),
  background: about(v.optional(number(0.001, 0.9)), 'Level of the background in the picture, 0…1 (default: 0.12).'),
  points: about(v.optional(v.pipe(v.array(point), v.maxLength(32))), 'For `points`: [in, out] pairs, rising.'),
});

export const levels = v.strictObject({
  black: about(
    v.optional(v.union([v.strictObject({ noise: number(-100, 100) }), anyNumber])),
    'Black point: `{"noise": k}` = k times the spread of the sky below the level, or a number in file units relative to the background.',
  ),
  white: about(
    v.optional(v.union([v.strictObject({ percentile: number(50, 100) }), anyNumber])),
    'White point: `{"percentile": p}`, or a number in file units relative to the background.',
  ),
});

const box = v.strictTuple(
  [number(0, 1e6), number(0, 1e6), number(1, 1e6), number(1, 1e6)],
  'a box is [x, y, width, height]',
);
const boxes = v.pipe(v.array(box), v.maxLength(64, 'at most 64 boxes'));

const order = v.picklist([1, 2, 3, 4], 'expected an order from 1 to 4');
const coefficients = v.pipe(v.array(anyNumber), v.minLength(3), v.maxLength(15));
const nodes = v.pipe(number(2, 1000), v.integer('expected a whole number'));

const surface = v.strictObject({
  order,
  coefficients: about(coefficients, 'In the order 1, u, v, u², uv, v², …'),
  shade: about(
    v.optional(
      v.strictObject({
        left: number(-3, 3),
        top: number(-3, 3),
        right: number(-3, 3),
        bottom: number(-3, 3),
        columns: nodes,
        rows: nodes,
        values: v.pipe(v.array(anyNumber), v.maxLength(20000, 'at most 20000 values')),
      }),
    ),
    'A shadow at an edge: depths at the nodes of an even grid between these positions of the frame (−1 to 1 from edge to edge), row by row, bilinear between them.',
  ),
  uncertainty: about(v.optional(number(0, 3.4e38)), 'Standard error of the surface over the frame, in file units.'),
});

export const background = v.strictObject({
  model: about(
    v.optional(choice(['none', 'level', 'surface'])),
    'What is subtracted from each channel: nothing, its level, or its level and a surface that follows gradients (default: `level`).',
  ),
  from: about(
    v.optional(
      v.union(
        [choice(['clip', 'dark-blocks']), box],
        ({ input }) => `found ${shown(input)}; expected clip, dark-blocks or a box [x, y, width, height]`,
      ),
    ),
    'What the level is taken from: all pixels after 3σ clipping, the darkest 5 % of blocks, or a box in pixels. Default: `clip`, or `dark-blocks` if a nebula fills the frame.',
  ),
  at: about(v.optional(byChannel(anyNumber)), 'The level in file units where it is given rather than measured.'),
  order: about(v.optional(order), 'For `surface`: its order (default: for each line the order that is most certain).'),
  include: about(
    v.optional(boxes),
    'For `surface`: boxes of sky to fit it to. [x, y, width, height] in pixels from the top left.',
  ),
  exclude: about(v.optional(boxes), 'For `surface`: boxes that are left out.'),
  reject: about(
    v.optional(choice(['bright', 'both'])),
    'For `surface`: whether blocks are rejected as nebula above the surface alone, or on both sides (default: `bright`).',
  ),
  shadows: about(
    v.optional(choice(['remove', 'keep'])),
    'For `surface`: whether the shadow of an obstruction at an edge of the frame is removed too (default: `remove`).',
  ),
  coefficients: about(
    v.optional(byChannel(coefficients)),
    'For `surface`: coefficients by channel where they are given rather than fitted, in the order 1, u, v, u², uv, v², …',
  ),
  surfaces: about(
    v.optional(byChannel(surface)),
    'For `surface`: whole surfaces by channel as settled numbers have them; they go before `coefficients`.',
  ),
});

const SCALE_MODES = ['each', 'together', 'fit', 'noise', 'hours'] as const;

export const scale = v.union(
  [
    choice(SCALE_MODES),
    v.strictObject({ mode: v.literal('fit'), to: v.optional(channelName) }),
    v.record(channelName, number(1e-30, 1e30)),
  ],
  ({ input }) =>
    `found ${shown(typeof input === 'string' ? input : JSON.stringify(input))}; allowed: ${SCALE_MODES.join(', ')}, {"mode": "fit", "to": CHANNEL} or a number for each channel`,
);

export const continuum = v.record(
  channelName,
  v.strictObject({
    from: about(channelName, 'The broadband or neighbouring channel; it needs no column in the matrix.'),
    k: about(
      v.optional(v.union([v.literal('fit'), number(-1000, 1000)], 'expected a number or "fit"')),
      'Its share in the line: a number, or `fit`, found from the stars (default: `fit`).',
    ),
  }),
);

const place = v.strictTuple(
  [
    v.pipe(number(0, 1e6), v.integer('expected a whole number')),
    v.pipe(number(0, 1e6), v.integer('expected a whole number')),
  ],
  ({ input }) => `found ${shown(input)}; a place is [x, y] in pixels from the top left`,
);

export const spots = v.union(
  [
    v.literal('fill'),
    v.record(channelName, v.pipe(v.array(place), v.maxLength(MOST_SPOTS, `at most ${MOST_SPOTS} places`))),
  ],
  ({ input }) => `found ${shown(input)}; expected "fill" or places by channel, such as {"O": [[17, 4]]}`,
);

const lineNoise = v.strictObject({
  level: about(anyNumber, 'The level from which the variance rises, in file units.'),
  variance: about(number(1e-300, 1e300), 'Variance of a pixel at the level.'),
  perCount: about(number(0, 1e300), 'How much the variance rises for each unit above the level.'),
  neighbours: about(number(0, 0.5), 'Correlation of direct neighbours; 0 for white noise.'),
});

export const smooth = v.strictObject({
  strength: about(
    v.optional(
      v.union(
        [number(0, 1), expression],
        ({ input }) => `found ${shown(input)}; the strength is a number from 0 to 1 or an expression over knobs`,
      ),
    ),
    'How much of the noise is removed, 0…1, or an expression over the knobs (default: 0).',
  ),
  lines: about(
    v.optional(v.pipe(v.array(channelName), v.minLength(1, 'name at least one line'))),
    'The lines to smooth (default: all but the guide).',
  ),
  guide: about(
    v.optional(channelName),
    'The line whose structure the others may keep (default: the line with the most signal over noise).',
  ),
  scales: about(
    v.optional(v.pipe(number(...SCALES_RANGE), v.integer('expected a whole number'))),
    'Number of scales: 4 reaches structure of about 30 pixels, each further one twice as far (default: 4).',
  ),
  noise: about(
    v.optional(v.record(channelName, lineNoise)),
    'The noise by channel where it is given rather than found, as settled numbers have it.',
  ),
});

const starStretch = v.strictObject({
  ...stretch.entries,
  background: about(v.optional(number(0.001, 0.9)), 'Level of 2 % of white in the picture, 0…1 (default: 0.2).'),
});

export const stars = v.strictObject({
  from: about(
    v.optional(choice(['picture', 'masters'])),
    'Which stars: `picture` lays a separate picture of them over the mix, where one is given; `masters` finds them in the masters (default: `picture`).',
  ),
  neutral: about(
    v.optional(number(0, 1)),
    'For `masters`: how far the colour of stars is moved towards the tint; their luminance stays (default: 1).',
  ),
  size: about(v.optional(number(0, 1)), 'For `masters`: how bright the stars stay, 0 for none (default: 1).'),
  tint: about(
    v.optional(v.union([v.string(), v.strictTuple([number(0, 1), number(0, 1), number(0, 1)])], 'expected a colour')),
    'For `masters`: the colour of neutral stars, as CSS writes it or as linear light of the space (default: white).',
  ),
  radius: about(
    v.optional(v.pipe(number(8, 64), v.integer('expected a whole number'))),
    'For `masters`: how many pixels from its centre the light of a star is followed to at most (default: 64).',
  ),
  strength: about(v.optional(number(0, 1)), 'How much of the stars is laid over the mix (default: 1).'),
  levels: about(v.optional(levels), 'Black and white points of the star picture.'),
  stretch: about(
    v.optional(starStretch),
    'Curve of the star picture (default: `linear` if it is display-encoded, else `asinh`).',
  ),
});
