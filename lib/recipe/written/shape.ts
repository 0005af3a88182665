import type { RecipeFault } from './fault.ts';

type Path = readonly (string | number)[];

/** A schema as far as its form is looked at. */
export interface Shape {
  readonly type: string;
  readonly entries?: Readonly<Record<string, Shape>>;
  readonly wrapped?: Shape;
  readonly value?: Shape;
  readonly item?: Shape;
  readonly items?: readonly Shape[];
  readonly literal?: unknown;
  readonly options?: readonly (Shape | string | number)[];
  /** The schema itself and the rules that its values keep. */
  readonly pipe?: readonly (Shape & { readonly requirement?: unknown })[];
}

/** The schema behind "may be absent" and "may be null". */
export const bare = (shape: Shape): Shape => (shape.wrapped === undefined ? shape : bare(shape.wrapped));

/** The schema at a path, undefined where there is none; of several forms the first that has one. */
export const shapeAt = (shape: Shape, path: Path): Shape | undefined => {
  const [key, ...rest] = path;
  if (key === undefined) return shape;
  const { entries, value, item, items, options } = bare(shape);
  if (options !== undefined) {
    for (const option of options) {
      const found = typeof option === 'object' ? shapeAt(option, path) : undefined;
      if (found !== undefined) return found;
    }
    return undefined;
  }
  const own = entries !== undefined && Object.hasOwn(entries, key) ? entries[key] : undefined;
  const inner = own ?? value ?? item ?? items?.[key as number];
  return inner && shapeAt(inner, rest);
};

/** The keys that a schema knows at a path. */
export const keysAt = (shape: Shape, path: Path): string[] => {
  const { options, entries, value, item } = bare(shape);
  if (options !== undefined)
    return options.flatMap((option) => (typeof option === 'object' ? keysAt(option, path) : []));
  const [key, ...rest] = path;
  if (key === undefined) return Object.keys(entries ?? {});
  const inner = entries?.[key] ?? value ?? item;
  return inner === undefined ? [] : keysAt(inner, rest);
};

/** Where a list stands for an object: the schema reads an empty list as an object without keys. */
export const listFaults = (input: unknown, output: unknown, path: (string | number)[] = []): RecipeFault[] => {
  if (typeof input !== 'object' || input === null || typeof output !== 'object' || output === null) return [];
  if (Array.isArray(input) !== Array.isArray(output))
    return [{ path, message: 'found a list; expected an object in braces' }];
  return Object.keys(output).flatMap((key) =>
    listFaults(input[key as never], output[key as never], [...path, Array.isArray(output) ? Number(key) : key]),
  );
};
