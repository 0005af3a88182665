import { fastOperations } from './fast-operations.ts';
import type { Operations } from './operations.ts';
import { plainOperations } from './plain-operations.ts';

let made: Operations | undefined;

/** The operations of this thread. Their memory belongs to whoever asked last: use them without waiting in between. */
export const operations = (): Operations => {
  made ??= fastOperations() ?? plainOperations();
  return made;
};
