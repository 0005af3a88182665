import * as v from 'valibot';
import { recipeError } from '../../plane/errors.ts';
import { nearest } from '../../plane/name.ts';
import { jsonPath, parseJson } from '../../recipe/written/json.ts';
import { planSchema, type WrittenPlan } from './schema.ts';

type Path = (string | number)[];

/**
 * Reads a plan of nights and targets from JSON text.
 * @throws LinewashError 'recipe' listing every fault with JSON path, line and column.
 */
export const parsePlan = (text: string, file?: string): WrittenPlan => {
  const json = parseJson(text, file);
  const result = v.safeParse(planSchema, json.value);
  const found = result.success ? meaning(result.output) : result.issues.map(describe);
  if (result.success && found.length === 0) return result.output;
  throw recipeError(
    found.map(({ path, message }) => ({ path: jsonPath(path), message, ...json.place(path) })),
    file,
  );
};

interface Found {
  readonly path: Path;
  readonly message: string;
}

/** What the schema alone cannot say. */
const meaning = ({ nights, targets }: WrittenPlan): Found[] => [
  ...twice(nights.map(({ date }) => date)).map((i) => ({
    path: ['nights', i, 'date'],
    message: `the night ${nights[i]!.date} is listed twice`,
  })),
  ...twice(targets.map(({ name }) => name)).map((i) => ({
    path: ['targets', i, 'name'],
    message: `the target ${targets[i]!.name} is listed twice`,
  })),
  ...targets.flatMap(({ goal, snr, box, masters, nights: some = [], ...target }, i): Found[] => [
    ...(goal === 'snr' && (snr === undefined || box === undefined)
      ? [{ path: ['targets', i, 'goal'], message: 'the goal snr needs "snr" and "box"' }]
      : []),
    ...(snr !== undefined && goal !== 'snr'
      ? [{ path: ['targets', i, 'snr'], message: 'an SNR needs "goal": "snr"' }]
      : []),
    ...(['in', 'per'] as const).flatMap((key) =>
      target[key] !== undefined && goal !== 'snr'
        ? [{ path: ['targets', i, key], message: `"${key}" is about an SNR and needs "goal": "snr"` }]
        : [],
    ),
    ...(Object.keys(masters).length === 0 ? [{ path: ['targets', i, 'masters'], message: 'there is no master' }] : []),
    ...some.flatMap((date, n) =>
      nights.some((night) => night.date === date)
        ? []
        : [{ path: ['targets', i, 'nights', n], message: `there is no night ${date} in this plan` }],
    ),
    ...(['time', 'sub', 'cap', 'lineWeight'] as const).flatMap((key) =>
      unknownLines(target[key], masters).map((name) => ({
        path: ['targets', i, key, name],
        message: `there is no line ${name}; lines: ${Object.keys(masters).join(', ')}`,
      })),
    ),
  ]),
];

const twice = (names: readonly string[]): number[] => [...names.keys()].filter((i) => names.indexOf(names[i]!) < i);

const unknownLines = (values: unknown, masters: Readonly<Record<string, string>>): string[] =>
  typeof values === 'object' && values !== null
    ? Object.keys(values).filter((name) => !Object.hasOwn(masters, name))
    : [];

const describe = (issue: v.BaseIssue<unknown>): Found => {
  const path = (issue.path ?? []).map((item) => item.key as string | number);
  if (issue.type === 'strict_object' && issue.expected === 'never') {
    const near = nearest(String(path[path.length - 1]), KEYS);
    return { path, message: `unknown key${near ? ` (did you mean ${near}?)` : ''}` };
  }
  if (issue.type === 'strict_object' && issue.received === 'undefined') return { path, message: 'this key is missing' };
  return { path, message: issue.message };
};

const KEYS = [
  ...Object.keys(planSchema.entries),
  ...Object.keys(planSchema.entries.nights.pipe[0].item.entries),
  ...Object.keys(planSchema.entries.targets.pipe[0].item.entries),
];
