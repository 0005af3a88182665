import type { LineColourEntry } from '../../lib/recipe/written/schema.ts';
import type { Swatch } from './swatches.ts';

/** What is seen, in nm: the range of the CIE 1931 observer as recipes take it. */
const SEEN = [380, 780] as const;
const WAVELENGTH = /^(\d+(?:[.,]\d+)?)\s*(nm)?$/i;

/** What was typed for a line's colour, or why it cannot be one. Whether a CSS colour is one shows when it is used. */
export type ColourText = { readonly entry: LineColourEntry } | { readonly fault: 'none' | 'outside' };

/** Reads a colour as people type it: CSS, or a wavelength in nm with decimal point or comma, the unit left out or not. */
export const readColourText = (typed: string): ColourText => {
  const text = typed.trim();
  const found = WAVELENGTH.exec(text);
  if (found === null) return text === '' ? { fault: 'none' } : { entry: text };
  const wavelength = Number(found[1]!.replace(',', '.'));
  return wavelength >= SEEN[0] && wavelength <= SEEN[1] ? { entry: { wavelength } } : { fault: 'outside' };
};

export const hexOf = (swatch: Swatch): string =>
  `#${swatch.map((value) => Math.round(value).toString(16).padStart(2, '0')).join('')}`;

/** A line's colour for reading: as the recipe has it where people wrote it, else the colour that it gets. */
export const showColour = (entry: LineColourEntry | undefined, swatch: Swatch | undefined): string => {
  if (typeof entry === 'object') return `${entry.wavelength} nm`;
  if (entry !== undefined && !entry.startsWith('color(')) return entry;
  return swatch === undefined ? '' : hexOf(swatch);
};
