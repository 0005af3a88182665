import { LinewashError } from './errors.ts';
import { BYTES_PER_SAMPLE } from './plane.ts';

/** What is wrong with a value that a program handed over, as `is 3, expected a text`; undefined for nothing. */
export type Shape = (value: unknown) => string | undefined;

/** Several shapes at once, by the position of the argument. */
type Shapes = readonly Shape[];

/** What no single argument shows: which of them do not fit together. */
type Together<A extends readonly unknown[]> = (...given: A) => string | undefined;

// biome-ignore lint/suspicious/noExplicitAny: any function may be made to look at its arguments
type AnyFunction = (...given: any[]) => unknown;

/**
 * The same function, which looks at its arguments first: what a program got wrong is told at once, by the argument's
 * place, instead of as a skewed picture or an error from deep inside. One that gives a promise rejects.
 * @throws LinewashError 'usage' naming the function, the argument and what was expected
 */
export const checked = <F extends AnyFunction>(
  name: string,
  inner: F,
  shapes: Shapes,
  together: Together<Parameters<F>> = () => undefined,
): F => {
  const asynchronous = inner.constructor.name === 'AsyncFunction';
  const look = (given: Parameters<F>): LinewashError | undefined => {
    for (const [i, shape] of shapes.entries()) {
      const fault = shape(given[i]);
      if (fault !== undefined) return misuse(name, at(`argument ${i + 1}`, fault));
    }
    const fault = together(...given);
    return fault === undefined ? undefined : misuse(name, fault);
  };
  return ((...given: Parameters<F>) => {
    const fault = look(given);
    if (fault === undefined) return inner(...given);
    if (asynchronous) return Promise.reject(fault);
    throw fault;
  }) as F;
};

const misuse = (name: string, fault: string): LinewashError =>
  new LinewashError({ tag: 'usage', message: `${name}: ${fault}`, advice: 'see docs/api.md for what it takes' });

const shown = (value: unknown): string => {
  if (typeof value === 'string') return JSON.stringify(value.slice(0, 40));
  if (typeof value === 'object' && value !== null)
    return Array.isArray(value) ? 'a plain array' : `a ${value.constructor?.name ?? 'object'}`;
  return typeof value === 'function' ? 'a function' : String(value);
};

const shape =
  (expected: string, fits: (value: unknown) => boolean): Shape =>
  (value) =>
    fits(value) ? undefined : `is ${shown(value)}, expected ${expected}`;

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !ArrayBuffer.isView(value);

export const text: Shape = shape('a text', (value) => typeof value === 'string');
export const flag: Shape = shape('true or false', (value) => typeof value === 'boolean');
export const method: Shape = shape('a function', (value) => typeof value === 'function');
export const finite: Shape = shape('a finite number', Number.isFinite);
export const positive: Shape = shape('a number above 0', (value) => Number.isFinite(value) && (value as number) > 0);
export const notNegative: Shape = shape(
  'a number of at least 0',
  (value) => Number.isFinite(value) && !((value as number) < 0),
);
export const bytes: Shape = shape('a Uint8Array', (value) => value instanceof Uint8Array);
export const samples: Shape = shape(
  'a Float32Array or Float64Array',
  (value) => value instanceof Float32Array || value instanceof Float64Array,
);
export const floats: Shape = shape('a Float32Array', (value) => value instanceof Float32Array);

/** A whole number within bounds. */
export const whole = (least: number, most: number = Number.MAX_SAFE_INTEGER): Shape =>
  shape(
    most === Number.MAX_SAFE_INTEGER
      ? `a whole number of at least ${least}`
      : `a whole number from ${least} to ${most}`,
    (value) => Number.isSafeInteger(value) && (value as number) >= least && (value as number) <= most,
  );

export const oneOf = (...choices: readonly (string | number)[]): Shape =>
  shape(`one of ${choices.map((choice) => JSON.stringify(choice)).join(', ')}`, (value) =>
    choices.includes(value as string | number),
  );

export const optional =
  (inner: Shape): Shape =>
  (value) =>
    value === undefined ? undefined : inner(value);

/** An object with at least these fields. */
export const object =
  (fields: Readonly<Record<string, Shape>> = {}): Shape =>
  (value) => {
    if (!isObject(value)) return `is ${shown(value)}, expected an object`;
    for (const [key, inner] of Object.entries(fields)) {
      const fault = inner(value[key]);
      if (fault !== undefined) return at(`.${key}`, fault);
    }
    return undefined;
  };

/** A plain array whose items all have a shape. */
export const list =
  (inner: Shape, least = 0, most = Number.POSITIVE_INFINITY): Shape =>
  (value) => {
    if (!Array.isArray(value)) return `is ${shown(value)}, expected an array`;
    if (value.length < least) return `has ${value.length} items, expected at least ${least}`;
    if (value.length > most) return `has ${value.length} items, expected at most ${most}`;
    for (const [i, item] of value.entries()) {
      const fault = inner(item);
      if (fault !== undefined) return at(`[${i}]`, fault);
    }
    return undefined;
  };

/** An object whose values all have a shape, whatever its keys. */
export const table =
  (inner: Shape): Shape =>
  (value) => {
    if (!isObject(value)) return `is ${shown(value)}, expected an object`;
    for (const [key, item] of Object.entries(value)) {
      const fault = inner(item);
      if (fault !== undefined) return at(`[${JSON.stringify(key)}]`, fault);
    }
    return undefined;
  };

/** One shape, then a further condition. */
export const also =
  (inner: Shape, expected: string, fits: (value: never) => boolean): Shape =>
  (value) =>
    inner(value) ?? (fits(value as never) ? undefined : `does not fit: ${expected}`);

const at = (place: string, fault: string): string => (/^[.[]/.test(fault) ? `${place}${fault}` : `${place} ${fault}`);

const size = { width: whole(1), height: whole(1) };

/** A rectangle of pixels, and one as recipes write it. */
export const box: Shape = object({ x: whole(0), y: whole(0), ...size });
export const boxNumbers: Shape = list(whole(0), 4, 4);

/** Bytes to be read. */
export const byteSource: Shape = object({ name: text, size: whole(0), read: method });

/** How a source came about, as far down as its steps go. */
const origin: Shape = (value) =>
  object({
    step: oneOf('file', 'hide', 'crop', 'fill', 'surface', 'continuum', 'combine', 'smooth', 'stars', 'restore'),
  })(value) ??
  object({
    of: optional(origin),
    broad: optional(origin),
    parts: optional(list(object({ of: origin }))),
    picture: optional(object({ file: text })),
  })(value);

/** A picture that can be read row by row. */
export const planeSourceShape: Shape = object({
  ...size,
  file: text,
  type: oneOf(...Object.keys(BYTES_PER_SAMPLE)),
  facts: object({
    filter: optional(text),
    hours: optional(finite),
    exposure: optional(finite),
    subs: optional(finite),
  }),
  warnings: list(text),
  raw: optional(object()),
  rowsTogether: optional(whole(1)),
  origin: optional(origin),
  readRows: method,
});

/** A master under its channel's name. */
export const channel: Shape = object({ name: text, source: planeSourceShape });

/** A picture in memory. */
export const plane: Shape = also(
  object({ ...size, data: floats }),
  'data must hold width × height values',
  (p: { width: number; height: number; data: Float32Array }) => p.data.length === p.width * p.height,
);

/** Marked pixels. */
export const mask: Shape = also(
  object({ ...size, stride: whole(1), bits: bytes }),
  'bits must hold stride × height bytes, and stride a bit for each column',
  (m: { width: number; height: number; stride: number; bits: Uint8Array }) =>
    m.bits.length >= m.stride * m.height && m.stride * 8 >= m.width,
);

/** How a picture is written. */
export const pictureForm: Shape = object({ ...size, sample: oneOf('u8', 'u16', 'f32'), bands: oneOf(3, 4) });

/** How long work is stopped and followed. */
export const workOptions: Shape = optional(
  object({ signal: optional(object({ aborted: flag })), progress: optional(method), executor: optional(object()) }),
);
