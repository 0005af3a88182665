import { canonicalForm, OMITTED, STRETCH_DEFAULTS } from '../written/canonical.ts';
import type { WrittenRecipe } from '../written/schema.ts';

type Json = Readonly<Record<string, unknown>>;
const COLOURS = ['red', 'green', 'blue'];

/**
 * How the second recipe differs from the first, a sentence for each difference; empty where both make the same picture
 * and are called the same. Weights are compared as numbers at the present setting of the knobs, by the names of lines.
 * @throws LinewashError as `plainRecipe` does
 */
export const recipeDiff = async (one: WrittenRecipe, other: WrittenRecipe): Promise<string[]> => {
  const [a, b] = [await canonicalForm(one), await canonicalForm(other)];
  return [...wordDiff(one, other), ...channelDiff(a, b), ...partDiff(a, b)];
};

const wordDiff = (one: WrittenRecipe, other: WrittenRecipe): string[] =>
  (['name', 'by', 'licence', 'about'] as const).flatMap((key) => {
    if (one[key] === other[key]) return [];
    if (key === 'about') return ['the description differs'];
    return [`${key}: ${shown(one[key])} → ${shown(other[key])}`];
  });

const channelDiff = (a: Json, b: Json): string[] => {
  const [mine, theirs] = [a.channels as string[], b.channels as string[]];
  const names = [...new Set([...mine, ...theirs])];
  const notes = names.flatMap((name) => {
    if (!theirs.includes(name)) return [`${name} is no longer a channel`];
    return mine.includes(name) ? [] : [`${name} is a new channel`];
  });
  for (const key of ['matrix', 'lightness'] as const) {
    const rowsOf = (form: Json) => (key === 'matrix' ? (form.matrix as number[][]) : [form[key] as number[]]);
    if (key === 'lightness' && !(Array.isArray(a[key]) && Array.isArray(b[key]))) continue;
    const weight = (form: Json, row: number, name: string) =>
      rowsOf(form)[row]![(form.channels as string[]).indexOf(name)] ?? 0;
    for (let row = 0; row < rowsOf(a).length; row++)
      for (const name of names) {
        const [from, to] = [weight(a, row, name), weight(b, row, name)];
        const what = key === 'matrix' ? COLOURS[row] : 'lightness';
        if (from !== to) notes.push(`${name} in ${what}: ${from} → ${to}`);
      }
  }
  return notes;
};

/** Everything but the weights, leaf by leaf. */
const partDiff = (a: Json, b: Json): string[] => {
  const [mine, theirs] = [leaves(a), leaves(b)];
  const paths = [...new Set([...mine.keys(), ...theirs.keys()])].sort();
  return paths.flatMap((path) => {
    const [from, to] = [mine.get(path), theirs.get(path)];
    if (from === to) return [];
    const usual = usualAt(path);
    return [`${path}: ${shown(from, usual)} → ${shown(to, usual)}`];
  });
};

const usualAt = (path: string): unknown =>
  path.startsWith('stretch ') ? STRETCH_DEFAULTS[path.split(' ')[2]!] : OMITTED[path];

const leaves = (form: Json): Map<string, unknown> => {
  const found = new Map<string, unknown>();
  const walk = (value: unknown, path: string): void => {
    if (typeof value !== 'object' || value === null || Array.isArray(value))
      found.set(path, Array.isArray(value) ? JSON.stringify(value) : value);
    else for (const [key, entry] of Object.entries(value)) walk(entry, path === '' ? key : `${path} ${key}`);
  };
  const rowed = Array.isArray(form.lightness);
  walk(Object.fromEntries(Object.entries(form).filter(([k]) => !['channels', 'matrix'].includes(k))), '');
  if (rowed) found.set('lightness', 'a row of weights');
  return found;
};

const shown = (value: unknown, usual?: unknown): string => {
  if (value === undefined) return usual === undefined || usual === null ? 'none' : String(usual);
  return typeof value === 'string' && usual === undefined ? JSON.stringify(value) : String(value);
};
