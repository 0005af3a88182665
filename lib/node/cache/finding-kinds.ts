import * as v from 'valibot';
import type { Unregistered } from '../../measure/registration/register.ts';
import type { Registered, TileShift } from '../../measure/registration/report.ts';
import type { Measured } from '../../plane/measured.ts';
import { BYTES_PER_SAMPLE, type SampleType } from '../../plane/plane.ts';
import type { Shade } from '../../prepare/background/shade.ts';
import type { Surface } from '../../prepare/background/surface.ts';
import type { Preparation } from '../../recipe/settle/channels.ts';
import type { ChannelFindings } from '../../recipe/settle/findings.ts';
import type { LineNoise } from '../../smooth/noise-model.ts';
import type { StarShape } from '../../stars/shape.ts';
import { type FoundStars, type StarLine, unpackStars } from '../../stars/star-list.ts';

/** A kind of thing that is found of masters, and the shape it must have to be believed. */
export interface FindingKind<T> {
  readonly name: string;
  accepts(answer: unknown): answer is T;
}

/** A schema for each field, so that a field added to the type must be given a shape here. */
type Fields<T> = { readonly [K in keyof Required<T>]: v.GenericSchema };

const kind = <T>(name: string, schema: v.GenericSchema): FindingKind<T> => ({
  name,
  accepts: (answer): answer is T => v.is(schema, answer),
});

const finite = v.pipe(v.number(), v.finite());
const count = v.pipe(v.number(), v.safeInteger(), v.minValue(0));
const text = v.string();
const positive = v.pipe(finite, v.minValue(0));

/** A record takes lists as well. */
const table = (value: v.GenericSchema) =>
  v.pipe(
    v.custom<Record<string, unknown>>((input) => !Array.isArray(input)),
    v.record(text, value),
  );

const measured = v.strictObject({
  name: text,
  file: text,
  width: count,
  height: count,
  type: v.picklist(Object.keys(BYTES_PER_SAMPLE) as SampleType[]),
  filter: v.optional(text),
  hours: v.optional(finite),
  min: finite,
  max: finite,
  median: finite,
  madSpread: positive,
  level: finite,
  spread: positive,
  percentiles: table(finite),
  counted: count,
  undefined: count,
  saturated: count,
  flat: v.boolean(),
  stretched: v.boolean(),
} satisfies Fields<Measured>);

const shade = v.strictObject({
  left: finite,
  top: finite,
  right: finite,
  bottom: finite,
  columns: count,
  rows: count,
  values: v.array(finite),
} satisfies Fields<Shade>);

const surface = v.strictObject({
  order: count,
  coefficients: v.array(finite),
  shade: v.optional(shade),
  uncertainty: v.optional(positive),
} satisfies Fields<Surface>);

const lineNoise = v.strictObject({
  level: finite,
  variance: positive,
  perCount: positive,
  neighbours: positive,
} satisfies Fields<LineNoise>);

const channelFindings = v.strictObject({
  background: v.optional(v.strictObject({ level: finite, noise: positive })),
  pixelNoise: v.optional(positive),
  surface: v.optional(surface),
  continuum: v.optional(v.strictObject({ from: text, k: finite, background: finite, surface: v.optional(surface) })),
  spots: v.optional(v.strictObject({ width: count, height: count, at: v.array(v.tuple([count, count])) })),
  lineNoise: v.optional(lineNoise),
  factor: v.optional(finite),
} satisfies Fields<ChannelFindings>);

const foundStars = v.pipe(
  v.strictObject({
    lines: v.array(
      v.strictObject({
        name: text,
        shape: v.strictObject({
          alpha: positive,
          beta: positive,
          e1: finite,
          e2: finite,
        } satisfies Fields<StarShape>),
        noise: positive,
        perCount: positive,
        level: finite,
        full: v.optional(finite),
      } satisfies Fields<StarLine>),
    ),
    count,
    data: text,
    hash: text,
  } satisfies Fields<FoundStars>),
  v.check((stars) => unpackStars(stars) !== undefined),
);

/** That a master has no border without data. */
export const BORDERLESS = kind<true>('borderless', v.literal(true));

/** That the checksums of a file fit. */
export const INTACT = kind<true>('intact', v.literal(true));

/** What preparing and measuring masters gave. */
export const PREPARATION = kind<Preparation>(
  'preparation',
  v.strictObject({
    measured: v.array(measured),
    findings: table(channelFindings),
    stars: v.optional(foundStars),
    warnings: v.array(text),
  } satisfies Fields<Preparation>),
);

/** What two masters are to one another. */
export interface PairFinding {
  /** Whether both hold one and the same picture. */
  readonly copy: boolean;
  /** How the second lies on the first, where that was asked. */
  readonly registration?: Registered | Unregistered | undefined;
}

const registered = v.strictObject({
  status: v.literal('found'),
  dx: finite,
  dy: finite,
  rotation: finite,
  scale: positive,
  residual: positive,
  uncertainty: v.strictObject({ shift: positive, rotation: positive, scale: positive }),
  tiles: v.array(
    v.strictObject({ x: finite, y: finite, dx: finite, dy: finite, weight: finite } satisfies Fields<TileShift>),
  ),
} satisfies Fields<Registered>);

const unregistered = v.strictObject({ status: v.literal('unknown'), reason: text } satisfies Fields<Unregistered>);

/** How two masters compare. */
export const PAIR = kind<PairFinding>(
  'pair',
  v.strictObject({
    copy: v.boolean(),
    registration: v.optional(v.variant('status', [registered, unregistered])),
  } satisfies Fields<PairFinding>),
);
