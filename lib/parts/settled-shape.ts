/** What settled numbers must look like, as far as a picture is computed from them. */
import { GAMUT_NAMES } from '../colour/gamut.ts';
import { SPACES } from '../colour/spaces.ts';
import { also, box, finite, list, object, oneOf, optional, type Shape, text, whole } from '../plane/arguments.ts';
import type { SettledStretch } from '../recipe/settle/settled.ts';
import type { CurveKind } from '../stretch/curve.ts';
import { CURVE_NAMES, CURVES } from '../stretch/curves.ts';

/** Each curve knows which numbers suit it. */
const suits = ({ curve, ...parameters }: SettledStretch): boolean => {
  try {
    (CURVES[curve] as CurveKind).curve(parameters);
    return true;
  } catch (cause) {
    if (cause instanceof RangeError) return false;
    throw cause;
  }
};

const stretch = also(
  object({ curve: oneOf(...CURVE_NAMES), a: optional(finite), points: optional(list(list(finite, 2, 2))) }),
  'the curve needs other numbers, see CURVES',
  suits,
);

const shade = object({
  left: finite,
  top: finite,
  right: finite,
  bottom: finite,
  columns: whole(2),
  rows: whole(2),
  values: list(finite),
});

const surface = object({ order: whole(0), coefficients: list(finite), shade: optional(shade) });

const levels = { background: finite, black: finite, white: finite, stretch };

export const settledChannel: Shape = object({
  name: text,
  ...levels,
  surface: optional(surface),
  spots: optional(object({ width: finite, height: finite, at: list(list(finite, 2)) })),
  continuum: optional(object({ from: text, k: finite, background: finite, surface: optional(surface) })),
});

const smooth = object({
  strength: finite,
  scales: finite,
  guide: text,
  lines: list(text, 1),
  noise: object(),
  frame: object({ width: whole(1), height: whole(1) }),
});

const finish = object({
  tone: optional(list(list(finite, 2, 2))),
  chroma: optional(object({ gain: finite, from: finite, to: finite, until: finite })),
  bends: optional(list(object({ at: finite, to: finite, width: finite, chroma: finite }))),
});

const row = list(finite);

export const settled: Shape = also(
  object({
    channels: list(settledChannel, 1),
    matrix: list(row, 3, 3),
    mixIn: oneOf('display', 'light'),
    intensity: optional(stretch),
    lightness: optional(row),
    greenLimit: optional(object({ amount: finite, mean: oneOf('mean', 'max') })),
    finish: optional(finish),
    smooth: optional(smooth),
    ownStars: optional(
      object({
        neutral: finite,
        size: finite,
        tint: list(finite, 3, 3),
        radius: finite,
        count: whole(0),
        hash: text,
        list: optional(object({ lines: list(object({ name: text })), count: whole(0), data: text })),
      }),
    ),
    stars: optional(object({ strength: finite, channels: list(object(levels), 3, 3) })),
    crop: optional(box),
    space: oneOf(...Object.keys(SPACES)),
    highlights: oneOf('ratio', 'clip'),
    gamut: oneOf(...GAMUT_NAMES),
  }),
  'each row of weights needs one for each channel',
  ({ channels, matrix, lightness }: { channels: unknown[]; matrix: unknown[][]; lightness?: unknown[] }) =>
    [...matrix, lightness ?? channels].every(({ length }) => length === channels.length),
);
