import type { Finding } from './finding.ts';

type Path = (string | number)[];

/** A schema as far as its keys are looked for. */
interface Shape {
  readonly type: string;
  readonly entries?: Readonly<Record<string, Shape>>;
  readonly wrapped?: Shape;
  readonly value?: Shape;
  readonly item?: Shape;
  readonly options?: readonly (Shape | string | number)[];
}

/** The keys that a schema knows at a path. */
export const keysAt = (shape: Shape, path: readonly (string | number)[]): string[] => {
  if (shape.wrapped !== undefined) return keysAt(shape.wrapped, path);
  if (shape.options !== undefined)
    return shape.options.flatMap((option) => (typeof option === 'object' ? keysAt(option, path) : []));
  const [key, ...rest] = path;
  if (key === undefined) return Object.keys(shape.entries ?? {});
  const inner = shape.entries?.[key] ?? shape.value ?? shape.item;
  return inner === undefined ? [] : keysAt(inner, rest);
};

/** Where a list stands for an object: the schema reads an empty list as an object without keys. */
export const listFaults = (input: unknown, output: unknown, path: Path = []): Finding[] => {
  if (typeof input !== 'object' || input === null || typeof output !== 'object' || output === null) return [];
  if (Array.isArray(input) !== Array.isArray(output))
    return [{ path, message: 'found a list; an object in braces is wanted' }];
  return Object.keys(output).flatMap((key) =>
    listFaults(input[key as never], output[key as never], [...path, Array.isArray(output) ? Number(key) : key]),
  );
};
