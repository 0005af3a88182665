import { type ParsedColour, parseColour } from '../../colour/css.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { SpaceName } from '../../plane/picture.ts';

/** A CSS colour as the tint of stars: linear light of a space, within what it shows, the largest 1. */
export const starTint = (text: string, space: SpaceName): ParsedColour => {
  const parsed = parseColour(text, SPACES[space]);
  if ('fault' in parsed) return parsed;
  const [r, g, b] = parsed.rgb.map((light) => Math.max(0, light)) as [number, number, number];
  const most = Math.max(r, g, b);
  return most > 0
    ? { rgb: [r / most, g / most, b / most] }
    : { fault: `stars cannot be ${JSON.stringify(text)}: it has no light` };
};
