import type { HeaderFacts } from '../../plane/facts.ts';
import { readPage, type TiffDirectory, type TiffFile } from './directory.ts';
import { FIELD } from './tags.ts';
import { readNumber, readText } from './values.ts';

/** Tags of Exif 2.32 (CIPA DC-008): where its directory lies, and what of it says how and when was exposed. */
const EXIF_IFD = 34665;
const EXPOSURE_TIME = 33434;
const DATE_TIME_ORIGINAL = 36867;

type ExifFacts = Pick<HeaderFacts, 'exposure' | 'dateLocal'> & { readonly from: Readonly<Record<string, string>> };

const NOTHING: ExifFacts = { from: {} };

/** What a camera wrote beside the picture: exposure in seconds, and when it began by the camera's clock. Never throws. */
export const readExif = (file: TiffFile, directory: TiffDirectory): Promise<ExifFacts> =>
  readInside(file, directory).catch(() => NOTHING);

const readInside = async (file: TiffFile, directory: TiffDirectory): Promise<ExifFacts> => {
  const at = await readNumber(file, directory, EXIF_IFD, undefined);
  if (at === undefined) return NOTHING;
  const { directory: exif } = await readPage(file, at);
  const exposure = await readNumber(file, exif, EXPOSURE_TIME, undefined);
  const entry = exif.get(DATE_TIME_ORIGINAL);
  const date = entry?.type === FIELD.ascii ? isoDate(await readText(file, entry, 20)) : undefined;
  const exposed = exposure !== undefined && Number.isFinite(exposure) && exposure > 0;
  return {
    ...(exposed && { exposure }),
    ...(date !== undefined && { dateLocal: date }),
    from: {
      ...(exposed && { exposure: 'ExposureTime' }),
      ...(date !== undefined && { dateLocal: 'DateTimeOriginal' }),
    },
  };
};

/** `2026:01:31 22:15:00`, as Exif writes it, by ISO 8601. */
const isoDate = (text: string): string | undefined => {
  const match = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)$/.exec(text.trim());
  return match === null ? undefined : `${match.slice(1, 4).join('-')}T${match[4]}`;
};
