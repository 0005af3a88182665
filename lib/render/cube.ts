import { ofStrengths } from '../recipe/settle/of-strengths.ts';
import { pixelFunction } from '../recipe/settle/pixel.ts';
import type { Settled } from '../recipe/settle/settled.ts';

/** Points along each axis where nothing else is asked for. */
export const USUAL_CUBE = 65;
/** What the specification allows for three dimensions. */
export const CUBE_RANGE = [2, 256] as const;

/** What a table of colours leaves to whoever uses it, each a sentence. */
export const cubeLimits = (settled: Settled): readonly string[] => {
  const [first, second, third] = settled.channels.map(({ name }) => name);
  return [
    `input: ${first}, ${second} and ${third} as red, green and blue, each stretched already, 0 to 1`,
    'not in the table: background, levels, curves, smoothing, stars, missing data',
    `output: ${settled.space === 'srgb-linear' ? 'linear light, sRGB primaries' : `display values of ${settled.space}`}`,
  ];
};

/**
 * The colours of a settled mix of three stretched lines as a table (Cube LUT Specification 1.0, 2013): the first line changes
 * fastest. Between its points whoever reads it interpolates.
 * @throws RangeError where the mix has not three lines
 */
export const cubeText = (settled: Settled, title: string, size = USUAL_CUBE): string => {
  if (settled.channels.length !== 3) throw new RangeError('a table has three lines');
  const pixel = pixelFunction(ofStrengths(settled));
  const rgb = new Float64Array(3);
  const lines = [
    ...cubeLimits(settled).map((words) => `# ${words}`),
    `TITLE "${title.replaceAll(/["\n\r]/g, ' ')}"`,
    `LUT_3D_SIZE ${size}`,
    'DOMAIN_MIN 0 0 0',
    'DOMAIN_MAX 1 1 1',
  ];
  const strength = (i: number) => i / (size - 1);
  for (let third = 0; third < size; third++)
    for (let second = 0; second < size; second++)
      for (let first = 0; first < size; first++) {
        pixel([strength(first), strength(second), strength(third)], rgb);
        lines.push(`${rgb[0]!.toFixed(6)} ${rgb[1]!.toFixed(6)} ${rgb[2]!.toFixed(6)}`);
      }
  return `${lines.join('\n')}\n`;
};
