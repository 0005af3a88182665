import type { Card, HeaderFacts } from '../../plane/facts.ts';
import type { TiffDirectory, TiffEntry, TiffFile } from './directory.ts';
import { readExif } from './exif.ts';
import { FIELD, tagName } from './tags.ts';
import { isNumeric, readNumbers, readText } from './values.ts';

const MOST_TEXT = 1 << 14;
const MOST_VALUES = 8;
const MOST_CARDS = 1000;

/** A tag as a card; a long table of numbers is named but not listed. */
const cardOf = async (file: TiffFile, entry: TiffEntry): Promise<Card> => {
  const keyword = tagName(entry.tag);
  if (entry.type === FIELD.ascii) return { keyword, value: await readText(file, entry, MOST_TEXT) };
  if (!isNumeric(entry) || entry.count > MOST_VALUES || entry.count === 0)
    return { keyword, value: undefined, comment: `${entry.count} values` };
  const values = await readNumbers(file, entry, MOST_VALUES);
  return { keyword, value: values.length === 1 ? values[0]! : values.join(' ') };
};

/**
 * What the tags say: the camera from Make and Model, exposure and local time where a camera wrote Exif, every tag as a
 * card. TIFF has no tag for filter or object, and its DateTime is when the file was written: neither is guessed from
 * other text.
 * A tag whose value lies outside the file is listed without it.
 */
export const readFacts = async (file: TiffFile, directory: TiffDirectory): Promise<HeaderFacts> => {
  const cards: Card[] = [];
  for (const entry of [...directory.values()].slice(0, MOST_CARDS))
    cards.push(
      await cardOf(file, entry).catch(() => ({
        keyword: tagName(entry.tag),
        value: undefined,
        comment: 'lies outside the file',
      })),
    );
  const text = (keyword: string) => {
    const value = cards.find((card) => card.keyword === keyword)?.value;
    return typeof value === 'string' && value.trim() !== '' ? value.trim() : undefined;
  };
  const { from: exifFrom, ...exif } = await readExif(file, directory);
  const [make, model] = [text('Make'), text('Model')];
  if (model === undefined) return { ...exif, from: exifFrom, cards };
  const camera = make === undefined || model.startsWith(make) ? model : `${make} ${model}`;
  return { camera, ...exif, from: { camera: 'Model', ...exifFrom }, cards };
};
