import type { Faint } from './faint-report.ts';

/** Flats decide from this scale on. */
const FLAT_SCALE = 16;
/** So many blobs on either side, and no more than this ratio between them, mean uneven light. */
const MANY = 6;
const ALIKE = 1.25;

/** Two digits of a share, in per cent. */
const percent = (share: number): string => `${Number((100 * share).toPrecision(2))} %`;

/** What cannot be told, each a sentence. */
export const limitsOf = (
  { light, scales, features, hours, wander, stars }: Omit<Faint, 'limits'>,
  aim: number,
): string[] => {
  const words: string[] = [];
  const wide = scales.filter(({ scale, known }) => scale >= FLAT_SCALE && known > 0);
  const least = Math.max(...wide.map(({ u, unevenness }) => u * unevenness));
  if (light > 0 && wide.length > 0 && least > 0)
    words.push(
      `from ${FLAT_SCALE} px on, nothing below about ${percent(least / light)} of the sky can be decided from ` +
        `${wander ? 'these masters' : 'one master'}: uneven flats look the same`,
    );
  if (!(light > 0))
    words.push('how bright the sky is cannot be told from this master: what flats leave is not counted');
  const bright = wide.reduce((sum, of) => sum + of.sky.bright, 0);
  const dark = wide.reduce((sum, of) => sum + of.sky.dark, 0);
  if (Math.min(bright, dark) >= MANY && Math.max(bright, dark) <= ALIKE * Math.min(bright, dark))
    words.push(
      `${bright} bright and ${dark} dark blobs of ${FLAT_SCALE} px and more stand out in the sky: equal counts can mean uneven light, ` +
        'so that the bright ones may not be real',
    );
  const held = features.filter(({ scale, area }) => {
    const uneven = scales.find((of) => of.scale === scale)!.unevenness;
    return area !== undefined && area.contrast > 0 && uneven > 0 && area.contrast / uneven < aim;
  });
  if (held.length > 0)
    words.push(
      `${held.length === 1 ? 'one feature is' : `${held.length} features are`} fainter than ${aim} times what flats leave: ` +
        'more hours alone cannot decide them, a second master with other flats can',
    );
  if (hours === undefined) words.push('the hours so far are not known: none are planned');
  if (stars === 0) words.push('no stars were found to mask');
  return words;
};
