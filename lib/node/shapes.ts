/** What arguments of the API on Node must look like. */
import { progress, signal } from '../parts/shapes.ts';
import { also, flag, object, optional, type Shape, table, text, whole } from '../plane/arguments.ts';

/** Files by line. */
export const inputs: Shape = also(table(text), 'no line has a file', (files: object) => Object.keys(files).length > 0);

/** How long work is stopped and followed. */
export const work = { signal, progress };

/** What all verbs take that open masters by line. */
export const masters = { inputs, apart: optional(flag), ...work };

/** What a batch is told about its plan, and about its running. */
export const plan = {
  plan: ((value) => (typeof value === 'string' ? undefined : object()(value))) as Shape,
  folder: optional(text),
  shard: optional(object({ index: whole(1), count: whole(1) })),
  reserved: optional(text),
};
export const run = {
  force: optional(flag),
  parallel: optional(whole(1)),
  memory: optional(whole(1)),
  cache: optional(text),
  ...work,
};
