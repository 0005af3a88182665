import { inOrder } from './in-order.ts';
import type { WrittenRecipe } from './schema.ts';

const WIDTH = 100;

/**
 * A recipe as text for a file: JSON with what fits on a line on one line, so that a matrix reads as one. Ends with a
 * newline. `parseRecipe` gives the same recipe back.
 * @throws LinewashError 'recipe' where it is none
 */
export const recipeText = (recipe: WrittenRecipe): string => `${layOut(inOrder(recipe), '', 0)}\n`;

const layOut = (value: unknown, indent: string, taken: number): string => {
  const line = onOneLine(value);
  const whole = indent === '' && typeof value === 'object';
  if (!whole && indent.length + taken + line.length <= WIDTH) return line;
  if (typeof value !== 'object' || value === null) return line;
  const inner = `${indent}  `;
  const parts = Array.isArray(value)
    ? value.map((entry) => layOut(entry, inner, 0))
    : entriesOf(value).map(([key, entry]) => `${JSON.stringify(key)}: ${layOut(entry, inner, key.length + 4)}`);
  const [open, close] = Array.isArray(value) ? '[]' : '{}';
  return `${open}\n${parts.map((part) => inner + part).join(',\n')}\n${indent}${close}`;
};

const entriesOf = (value: object) => Object.entries(value).filter(([, entry]) => entry !== undefined);

const onOneLine = (value: unknown): string => {
  if (Array.isArray(value)) return `[${value.map(onOneLine).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = entriesOf(value).map(([key, entry]) => `${JSON.stringify(key)}: ${onOneLine(entry)}`);
  return entries.length > 0 ? `{ ${entries.join(', ')} }` : '{}';
};
