import { type TiffDirectory, type TiffFile, tiffFault } from './directory.ts';
import { TAG } from './tags.ts';
import { readNumber } from './values.ts';

/** Bits of NewSubfileType (TIFF 6.0): a reduced copy, a transparency mask. */
const REDUCED = 1;
const MASK = 4;
/** The older SubfileType's value for a reduced copy. */
const OLD_REDUCED = 2;

/** True for a page that is a picture of its own: no thumbnail and no mask. */
const isFullPage = async (file: TiffFile, directory: TiffDirectory): Promise<boolean> => {
  const kind = await readNumber(file, directory, TAG.NewSubfileType, undefined);
  if (kind !== undefined) return (kind & (REDUCED | MASK)) === 0;
  return (await readNumber(file, directory, TAG.SubfileType, 1)) !== OLD_REDUCED;
};

export interface ChosenPage {
  readonly directory: TiffDirectory;
  readonly warnings: readonly string[];
}

/**
 * The directory to read: number `page` (0-based, every directory counts), else the first that is neither thumbnail nor
 * mask. A warning names the choice where there was one.
 */
export const choosePage = async (
  file: TiffFile,
  directories: readonly TiffDirectory[],
  page: number | undefined,
): Promise<ChosenPage> => {
  if (page !== undefined) {
    const directory = Number.isInteger(page) ? directories[page] : undefined;
    if (directory !== undefined) return { directory, warnings: [] };
    const last = directories.length - 1;
    throw tiffFault(
      file,
      `there is no page ${page}`,
      last === 0 ? 'it has one page, [0]' : `pages are [0] to [${last}]`,
    );
  }
  const full: number[] = [];
  for (const [i, directory] of directories.entries()) if (await isFullPage(file, directory)) full.push(i);
  const chosen = full[0] ?? 0;
  const warnings: string[] = [];
  if (full.length === 0) warnings.push('every page is marked as a thumbnail or mask; page [0] was taken');
  else if (full.length > 1)
    warnings.push(
      `it has ${full.length} pages; page [${chosen}] was taken, another is chosen by its number behind the name, as in file.tif[${full[1]}]`,
    );
  else if (chosen > 0) warnings.push(`page [${chosen}] was taken; the pages before it are thumbnails or masks`);
  return { directory: directories[chosen]!, warnings };
};
