import * as v from 'valibot';
import { MAX_EXPRESSION } from '../../mix/expression-tokens.ts';
import { CHANNEL_NAME, nearest } from '../../plane/name.ts';

/** How a found value reads in a message. */
export const shown = (input: unknown): string => {
  const text = textOf(input);
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
};

const textOf = (input: unknown): string => {
  if (typeof input !== 'object' && typeof input !== 'string') return String(input);
  try {
    return JSON.stringify(input);
  } catch {
    return 'an object';
  }
};

/** One of a few words. */
export const choice = <const T extends readonly string[]>(options: T) =>
  v.picklist(options, ({ input }) => {
    const near = typeof input === 'string' ? nearest(input, options) : undefined;
    return `found ${shown(input)}; allowed: ${options.join(', ')}${near ? ` (did you mean ${near}?)` : ''}`;
  });

export const text = (longest: number) =>
  v.pipe(v.string('expected text'), v.maxLength(longest, `at most ${longest} characters`));

export const number = (min: number, max: number) =>
  v.pipe(
    v.number(({ input }) => `found ${shown(input)}; expected a number from ${min} to ${max}`),
    v.finite('expected a finite number'),
    v.minValue(min, ({ input }) => `found ${shown(input)}; the smallest allowed is ${min}`),
    v.maxValue(max, ({ input }) => `found ${shown(input)}; the largest allowed is ${max}`),
  );

/** A number that is computed from knobs. */
export const expression = v.pipe(
  v.string(),
  v.regex(/\S/, 'an empty weight; write 0 for none'),
  v.maxLength(MAX_EXPRESSION, `an expression has at most ${MAX_EXPRESSION} characters`),
);

/** A field with what the reference page says of it. */
export const about = <const S extends v.GenericSchema>(schema: S, description: string) =>
  v.pipe(schema, v.description(description));

export const channelName = v.pipe(
  v.string('expected a channel name'),
  v.regex(CHANNEL_NAME, 'a channel name is a letter, then up to 23 letters, digits, + - or _'),
);

export const anyNumber = number(-3.4e38, 3.4e38);
/** Values by channel; `*` stands for all others. */
export const byChannel = <const S extends v.GenericSchema>(schema: S) =>
  v.record(v.union([v.literal('*'), channelName]), schema);
