import * as v from 'valibot';
import { nearest } from '../../plane/name.ts';
import type { RecipeFault } from './fault.ts';
import { shown } from './fields.ts';
import { bare, keysAt, type Shape, shapeAt } from './shape.ts';

type Path = (string | number)[];

/** What was read, with something harmless in each place that is at fault, so that the rest can be checked as well. */
export interface Mended<T> {
  /** Undefined where too much is wrong. */
  readonly value: T | undefined;
  readonly faults: RecipeFault[];
}

/** Each round finds what the one before hid: an unknown key hides what is behind it, never deeper than recipes nest. */
const MOST_ROUNDS = 8;

/**
 * Checks a value against a schema as far as it goes: every place at fault is noted and replaced by the least that the
 * schema takes there, or left out where it may be absent, until what is left is in order.
 */
export const mend = <S extends v.GenericSchema>(schema: S, plain: unknown): Mended<v.InferOutput<S>> => {
  const shape = schema as unknown as Shape;
  const faults: RecipeFault[] = [];
  const noted = new Set<string>();
  let current = plain;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const result = v.safeParse(schema, current);
    if (result.success) return { value: result.output, faults };
    for (const issue of result.issues)
      for (const fault of findingsOf(shape, issue)) {
        const key = JSON.stringify(fault.path);
        // A number out of all bounds breaks several rules; the first says it.
        if (noted.has(key)) continue;
        noted.add(key);
        faults.push(fault);
      }
    if (round === 0) current = copied(plain, new Map());
    for (const { path } of faults) putRight(shape, current, path);
  }
  return { value: undefined, faults };
};

const findingsOf = (shape: Shape, issue: v.BaseIssue<unknown>): RecipeFault[] => {
  const path = (issue.path ?? []).map((item) => item.key as string | number);
  if (issue.type === 'strict_object' && issue.expected === 'never') return unknownKeys(shape, path.slice(0, -1), issue);
  if (issue.type === 'strict_object' && issue.received === 'undefined')
    return [{ path, message: 'this key is missing' }];
  // What is wrong within a list is more than that it is not what it might have been instead.
  const within = issue.type === 'union' && Array.isArray(issue.input) ? (issue.issues ?? []).filter((i) => i.path) : [];
  // A list that is too short is none of what it might have been.
  if (within.length > 0 && within.every((inner) => inner.input !== undefined))
    return within.flatMap((inner) => {
      const own = findingsOf(shape, inner);
      return own.map((fault) => ({ ...fault, path: [...path, ...fault.path] }));
    });
  const known = EXPECTED[issue.expected ?? ''];
  const generic = issue.message.startsWith('Invalid type') && known !== undefined;
  return [{ path, message: generic ? `found ${shown(issue.input)}; expected ${known}` : issue.message }];
};

const EXPECTED: Readonly<Record<string, string>> = {
  Object: 'an object in braces',
  Array: 'a list in brackets',
  string: 'text',
};

/** All unknown keys of an object, of which the schema names the first. */
const unknownKeys = (shape: Shape, path: Path, issue: v.BaseIssue<unknown>): RecipeFault[] => {
  const known = keysAt(shape, path);
  const { input } = issue.path!.at(-1)! as { input: object };
  return Object.keys(input)
    .filter((key) => !known.includes(key))
    .map((key) => {
      const near = nearest(key, known);
      const advice = path.length === 0 ? 'keys of your own start with "x-"' : `keys here: ${known.join(', ')}`;
      return {
        path: [...path, key],
        message: near === undefined ? `unknown key; ${advice}` : `unknown key (did you mean ${near}?)`,
      };
    });
};

const PLAIN = { enumerable: true, writable: true, configurable: true };

/** A copy that may be changed; what is no list or object is the same. */
const copied = (value: unknown, made: Map<object, unknown>): unknown => {
  if (typeof value !== 'object' || value === null) return value;
  const before = made.get(value);
  if (before !== undefined) return before;
  const copy: unknown = Array.isArray(value) ? [] : {};
  made.set(value, copy);
  // Defined rather than set, so that a key named __proto__ is a key like any other.
  for (const [key, entry] of Object.entries(value))
    Object.defineProperty(copy, key, { ...PLAIN, value: copied(entry, made) });
  return copy;
};

type Holder = Record<string | number, unknown>;

const isHolder = (value: unknown): value is Holder => typeof value === 'object' && value !== null;

/** Makes the place at a path harmless. */
const putRight = (shape: Shape, root: unknown, path: Path): void => {
  let holder = root;
  for (const key of path.slice(0, -1)) {
    if (!isHolder(holder) || !Object.hasOwn(holder, key)) return;
    holder = holder[key];
  }
  const key = path.at(-1);
  if (!isHolder(holder) || key === undefined) return;
  const inner = shapeAt(shape, path);
  const around = shapeAt(shape, path.slice(0, -1));
  const optional = inner?.type === 'optional' || (around && bare(around).type === 'record');
  const keepsList = inner !== undefined && bare(inner).type === 'array' && Array.isArray(holder[key]);
  // A list that stands for an object.
  if (Array.isArray(holder) && inner === undefined) holder.length = 0;
  else if (inner === undefined || (optional && !keepsList)) delete holder[key];
  else holder[key] = least(inner, holder[key]);
};

/** The number that a rule of a schema states. */
const ruleOf = (shape: Shape, type: string): number | undefined => {
  for (const step of shape.pipe ?? []) {
    if (step.type === type) return step.requirement as number;
    const inner =
      step === shape ? undefined : ruleOf({ ...step, pipe: step.pipe?.filter((s) => s !== step) ?? [] }, type);
    if (inner !== undefined) return inner;
  }
  return undefined;
};

/** The least that a schema takes, keeping entries of a list that is only of the wrong length. */
const least = (shape: Shape, found?: unknown): unknown => {
  const rule = (type: string) => ruleOf(shape, type);
  switch (shape.type) {
    case 'optional':
    case 'nullable':
      return least(shape.wrapped!, found);
    case 'number':
      return Math.max(rule('min_value') ?? 0, Math.min(rule('max_value') ?? 0, 0));
    case 'string':
      return 'x';
    case 'array': {
      const few = rule('length') ?? rule('min_length') ?? 0;
      const most = rule('length') ?? rule('max_length') ?? Number.POSITIVE_INFINITY;
      const kept = Array.isArray(found) ? found.slice(0, most) : [];
      while (kept.length < few) kept.push(least(shape.item!));
      return kept;
    }
    case 'strict_tuple':
      return shape.items!.map((item) => least(item));
    case 'strict_object':
      return Object.fromEntries(
        Object.entries(shape.entries!).flatMap(([key, entry]) =>
          entry.type === 'optional' ? [] : [[key, least(entry)]],
        ),
      );
    case 'record':
      return {};
    case 'literal':
      return shape.literal;
    default: {
      const [option] = shape.options ?? [];
      return typeof option === 'object' ? least(option) : option;
    }
  }
};
