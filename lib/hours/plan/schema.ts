import * as v from 'valibot';
import { CHANNEL_NAME } from '../../plane/name.ts';
import { GOALS } from '../advice.ts';
import { secondsOf } from '../duration.ts';
import { QUANTITIES } from '../outputs.ts';

/** The version of plans that this code reads. */
export const PLAN_VERSION = 1;

const shown = (input: unknown): string => JSON.stringify(input)?.slice(0, 60) ?? String(input);

const text = v.pipe(v.string('expected text'), v.minLength(1, 'the text is empty'), v.maxLength(200));

/** `300s`, `5m`, `4.5h` → seconds. */
const duration = v.pipe(
  v.string(({ input }) => `found ${shown(input)}; expected a duration such as "300s", "5m" or "4.5h"`),
  v.check((input) => secondsOf(input) !== undefined, 'expected a duration such as "300s", "5m" or "4.5h"'),
);

const above = (min: number, max: number) =>
  v.pipe(
    v.number(({ input }) => `found ${shown(input)}; expected a number`),
    v.check((n) => n > min && n <= max, `expected a number above ${min}, up to ${max}`),
  );

const date = v.pipe(
  v.string('expected a date such as "2026-01-31"'),
  v.check(
    (input) => /^\d{4}-\d{2}-\d{2}$/.test(input) && new Date(`${input}T00:00:00Z`).toJSON()?.startsWith(input) === true,
    'expected a date such as "2026-01-31"',
  ),
);

const line = v.pipe(v.string(), v.regex(CHANNEL_NAME, 'a line is a letter, then up to 23 letters, digits, + - or _'));

/** One value for all lines, or by line. */
const perLine = <const S extends v.GenericSchema>(schema: S) =>
  v.union([schema, v.record(line, schema)], ({ input }) => `found ${shown(input)}; one value, or one for each line`);

const whole = v.pipe(
  v.number('expected a whole number'),
  v.integer('expected a whole number'),
  v.minValue(0, 'expected a whole number, 0 or above'),
);

const box = v.strictTuple([whole, whole, whole, whole], 'a box is [left, top, width, height]');

const night = v.strictObject({
  date,
  /** Hours dark enough to expose. */
  dark: duration,
});

const target = v.strictObject({
  name: text,
  /** Line → file, relative to the plan. */
  masters: v.record(line, text),
  /** A recipe file relative to the plan, a catalogue name, or the recipe itself. */
  recipe: v.union([text, v.looseObject({})], 'expected a recipe, its file or its name in the catalogue'),
  goal: v.optional(v.picklist(GOALS, `allowed: ${GOALS.join(', ')}`)),
  /** For the goal `snr`, with `box`: no more time is given once it is reached. */
  snr: v.optional(above(0, 1e6)),
  in: v.optional(v.picklist(QUANTITIES, `allowed: ${QUANTITIES.join(', ')}`)),
  per: v.optional(v.picklist(['pixel', 'box'], 'allowed: pixel, box')),
  box: v.optional(box),
  background: v.optional(box),
  /** How much this target counts beside the others; 1 where absent. */
  weight: v.optional(above(0, 1000)),
  /** Hours a night that the target stands high enough. */
  up: v.optional(duration),
  /** Dates on which it may be exposed; all where absent. */
  nights: v.optional(v.array(date)),
  /** Hours so far, instead of the header's. */
  time: v.optional(perLine(duration)),
  sub: v.optional(perLine(duration)),
  cap: v.optional(perLine(duration)),
  lineWeight: v.optional(v.record(line, above(0, 1000))),
});

/** Nights, targets, goals: what `linewash hours --plan` reads. */
export const planSchema = v.strictObject({
  linewash: v.literal(PLAN_VERSION, `this linewash reads plans of version ${PLAN_VERSION}`),
  nights: v.pipe(
    v.array(night),
    v.minLength(1, 'expected at least one night'),
    v.maxLength(1000, 'at most 1000 nights'),
  ),
  targets: v.pipe(
    v.array(target),
    v.minLength(1, 'expected at least one target'),
    v.maxLength(200, 'at most 200 targets'),
  ),
  /** Time lost after each sub, and for each line of a target used in a night. */
  overhead: v.optional(duration),
  change: v.optional(duration),
});

export type WrittenPlan = v.InferOutput<typeof planSchema>;
export type PlanTarget = WrittenPlan['targets'][number];
