/** What measurements, noise and hours must look like. */
import { GOALS } from '../hours/advice.ts';
import { QUANTITIES } from '../hours/outputs.ts';
import {
  finite,
  flag,
  list,
  notNegative,
  object,
  oneOf,
  optional,
  positive,
  type Shape,
  table,
  text,
} from '../plane/arguments.ts';

const row = list(finite);
const rows = list(row);

export const measured: Shape = list(
  object({
    name: text,
    file: text,
    min: finite,
    max: finite,
    median: finite,
    madSpread: finite,
    level: finite,
    spread: finite,
    percentiles: table(finite),
    counted: finite,
    undefined: finite,
    saturated: finite,
    flat: flag,
    stretched: flag,
  }),
);

const reading = object({ value: finite, noise: finite });

/** What the ledger must know of each line. */
export const lineStats: Shape = list(object({ name: text, background: reading, box: optional(reading) }));

const perQuantity = (inner: Shape): Shape => object(Object.fromEntries(QUANTITIES.map((name) => [name, inner])));

const place = {
  values: row,
  lineNoise: row,
  outputs: row,
  jacobian: rows,
  noise: perQuantity(finite),
  sensitivity: perQuantity(row),
};

export const ledgerPlace: Shape = object(place);

export const ledgerShape: Shape = object({
  lines: list(text, 1),
  background: ledgerPlace,
  box: optional(object({ ...place, pixels: finite, signal: perQuantity(finite), snr: perQuantity(finite) })),
});

export const exposures: Shape = list(
  object({ name: text, hours: optional(finite), sub: optional(finite), subs: optional(finite) }),
);

const camera = object({ sky: finite, read: finite, dark: optional(finite) });

const lineWish = {
  sub: optional(positive),
  overhead: optional(notNegative),
  cap: optional(notNegative),
  weight: optional(positive),
};

/** How hours may be split, of any goal. */
export const split = {
  more: optional(notNegative),
  snr: optional(positive),
  quantity: optional(oneOf(...QUANTITIES)),
  per: optional(oneOf('pixel', 'box')),
  change: optional(notNegative),
};

export const goal: Shape = oneOf(...GOALS);

export const hoursWish: Shape = object({
  goal,
  ...split,
  lines: optional(table(object({ ...lineWish, camera: optional(camera) }))),
});

/** How each line may be exposed, with what is known of its camera and sky. */
export const lineHours: Shape = table(
  object({
    ...lineWish,
    readNoise: optional(notNegative),
    sky: optional(notNegative),
    gain: optional(positive),
    pedestal: optional(finite),
  }),
);

/** Moments of lines, and values of some of their pixels. */
export const lineSample: Shape = object({
  names: list(text, 1),
  noise: row,
  mean: row,
  covariance: rows,
  values: (value) => (value instanceof Float64Array ? undefined : 'is no Float64Array'),
});
