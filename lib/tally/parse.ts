import * as v from 'valibot';
import { recipeError } from '../plane/errors.ts';
import { jsonPath, parseJson } from '../recipe/written/json.ts';
import type { TallyTarget } from './tally.ts';

const text = v.string('expected text');
const count = v.pipe(
  v.number('expected a whole number'),
  v.integer('expected a whole number'),
  v.minValue(1, 'expected a whole number, 1 or above'),
);
const line = v.object({
  line: text,
  subs: count,
  hours: v.pipe(
    v.number('expected a number'),
    v.check((hours) => hours > 0 && Number.isFinite(hours), 'expected a number above 0'),
  ),
  nights: v.pipe(v.number('expected a whole number'), v.integer('expected a whole number'), v.minValue(0)),
  lengths: v.pipe(
    v.record(
      v.pipe(
        v.string(),
        v.check((seconds) => Number(seconds) > 0, 'a length is a number of seconds'),
      ),
      count,
    ),
    v.check((lengths) => Object.keys(lengths).length > 0, 'expected at least one length'),
  ),
  first: v.optional(text),
  last: v.optional(text),
});
const schema = v.object({ targets: v.array(v.object({ target: text, lines: v.array(line) })) });

const LONGEST = 1 << 26;

/**
 * The targets of a tally that was written as JSON; its other keys are passed over.
 * @throws LinewashError 'recipe' listing every fault with JSON path, line and column
 */
export const parseTally = (json: string, file?: string): TallyTarget[] => {
  const parsed = parseJson(json, file, LONGEST);
  const result = v.safeParse(schema, parsed.value);
  if (result.success) return result.output.targets;
  const faults = result.issues.map((issue) => {
    const path = (issue.path ?? []).map((item) => item.key as string | number);
    const message = issue.received === 'undefined' ? 'this key is missing' : issue.message;
    return { path: jsonPath(path), message, ...parsed.place(path) };
  });
  throw recipeError(faults, file, 'name a tally in JSON, or the folder of the sub-exposures');
};
