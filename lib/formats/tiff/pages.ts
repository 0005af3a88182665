import { MOST_FIELDS, readPage, type TiffDirectory, type TiffFile, type TiffPage, tiffFault } from './directory.ts';
import { TAG, tagName } from './tags.ts';
import { readNumber, readNumbers } from './values.ts';

/** Bits of NewSubfileType (TIFF 6.0): a reduced copy, a transparency mask. */
const REDUCED = 1;
const MASK = 4;
/** The older SubfileType's value for a reduced copy. */
const OLD_REDUCED = 2;
/** Directories inside a page; they hold a handful of reduced copies as a rule. */
const MOST_INSIDE = 256;

/** True for a page that is a picture of its own: no thumbnail and no mask. */
const isFullPage = async (file: TiffFile, directory: TiffDirectory): Promise<boolean> => {
  const kind = await readNumber(file, directory, TAG.NewSubfileType, undefined);
  if (kind !== undefined) return (kind & (REDUCED | MASK)) === 0;
  return (await readNumber(file, directory, TAG.SubfileType, 1)) !== OLD_REDUCED;
};

/** A path to a directory: the number of a page, then those of directories inside. */
type PagePath = readonly number[];

const named = (path: PagePath): string => `[${path.join('.')}]`;

/** Where the directories inside a page lie (SubIFDs, TIFF Technical Note 1). */
const placesInside = async (file: TiffFile, { directory }: TiffPage): Promise<Float64Array> => {
  const entry = directory.get(TAG.SubIfds);
  return entry === undefined ? new Float64Array(0) : readNumbers(file, entry, MOST_INSIDE);
};

interface Located extends TiffPage {
  readonly path: PagePath;
}

/** How many fields may still be looked at in the search for pictures inside pages. */
interface Budget {
  fields: number;
}

interface Inside {
  readonly full: readonly Located[];
  /** Whether some of the directories that were looked at could not be read. */
  readonly unread: boolean;
}

/** The full pictures among the directories inside a page; what cannot be read is passed over. */
const fullInside = async (file: TiffFile, page: Located, budget: Budget): Promise<Inside> => {
  const found: Located[] = [];
  const places = await placesInside(file, page).catch(() => undefined);
  if (places === undefined) return { full: [], unread: true };
  let unread = false;
  for (const [i, at] of places.entries()) {
    if (budget.fields < 0) break;
    const inside = await readPage(file, at).catch(() => undefined);
    // Something for what cannot be read, too.
    budget.fields -= inside?.listed ?? 100;
    const full = inside && (await isFullPage(file, inside.directory).catch(() => undefined));
    if (full === undefined) unread = true;
    if (full) found.push({ ...inside, path: [...page.path, i] });
  }
  return { full: found, unread };
};

export interface ChosenPage {
  readonly directory: TiffDirectory;
  readonly warnings: readonly string[];
  /** Selectors of the other full pages, where none was asked for. */
  readonly others: readonly string[];
}

const repetitions = ({ repeated }: TiffPage): string[] =>
  [...repeated].slice(0, 5).map((tag) => `${tagName(tag)} occurs twice in its directory; the first is used`);

/**
 * The directory to read: the page of this number (0-based, every directory counts), or one inside it; else the first page
 * that is neither thumbnail nor mask, else the first such picture inside a page. A warning names the choice where there
 * was one.
 * @throws LinewashError 'format' where there is no such page.
 */
export const choosePage = async (
  file: TiffFile,
  pages: readonly TiffPage[],
  wanted: number | PagePath | undefined,
): Promise<ChosenPage> => {
  const {
    page,
    warnings,
    others = [],
  } = wanted === undefined
    ? await firstFull(file, pages)
    : { page: await pageAt(file, pages, [wanted].flat()), warnings: [], others: [] };
  return { directory: page.directory, warnings: [...warnings, ...repetitions(page)], others };
};

const pageAt = async (file: TiffFile, pages: readonly TiffPage[], path: PagePath): Promise<TiffPage> => {
  const [first, ...rest] = path;
  let page = pages[first!];
  if (page === undefined) throw noPage(file, path, 'it has', 'pages are', pages.length, []);
  for (const [depth, index] of rest.entries()) {
    const places = await placesInside(file, page);
    const above = path.slice(0, depth + 1);
    if (places[index] === undefined)
      throw noPage(file, path, `page ${named(above)} holds`, 'inside it are', places.length, above);
    page = await readPage(file, places[index]);
  }
  return page;
};

const noPage = (file: TiffFile, path: PagePath, holder: string, all: string, count: number, above: PagePath) => {
  const [first, last] = [0, count - 1].map((i) => named([...above, i]));
  const some = count === 1 ? `${holder} one page, ${first}` : `${all} ${first} to ${last}`;
  return tiffFault(file, `there is no page ${path.join('.')}`, count === 0 ? `${holder} no other pages` : some);
};

interface Found {
  readonly page: TiffPage;
  readonly warnings: readonly string[];
  readonly others?: readonly string[];
}

const firstFull = async (file: TiffFile, pages: readonly TiffPage[]): Promise<Found> => {
  const all = pages.map((page, i): Located => ({ ...page, path: [i] }));
  const full: Located[] = [];
  for (const page of all) if (await isFullPage(file, page.directory)) full.push(page);
  const [page, ...others] = full;
  if (page === undefined) return fullWithin(file, all);
  const warnings: string[] = [];
  const [other] = others;
  if (other !== undefined)
    warnings.push(
      `it has ${full.length} pages; page ${named(page.path)} was taken; page ${named(other.path)} is file.tif${named(other.path)}`,
    );
  else if (page.path[0]! > 0)
    warnings.push(`page ${named(page.path)} was taken; the pages before it are thumbnails or masks`);
  const { full: inside } = await fullInside(file, page, { fields: MOST_FIELDS });
  if (inside.length > 0)
    warnings.push(
      `page ${named(page.path)} holds further pictures inside it: ${inside
        .slice(0, 5)
        .map(({ path }) => `file.tif${named(path)}`)
        .join(', ')}`,
    );
  return { page, warnings, others: others.map(({ path }) => named(path)) };
};

/**
 * Where no page is a picture of its own: the first inside one, which is how raw files keep it beside its thumbnail.
 * @throws LinewashError 'format' where there is none but something inside cannot be read: a thumbnail is no answer then.
 */
const fullWithin = async (file: TiffFile, all: readonly Located[]): Promise<Found> => {
  const budget = { fields: MOST_FIELDS };
  let damaged: Located | undefined;
  for (const outer of all) {
    const { full, unread } = await fullInside(file, outer, budget);
    const [page] = full;
    if (unread) damaged ??= outer;
    if (page !== undefined)
      return {
        page,
        warnings: [`every page is marked as a thumbnail or mask; the picture ${named(page.path)} inside one was taken`],
      };
  }
  if (damaged !== undefined)
    throw tiffFault(
      file,
      `every page is marked as a thumbnail or mask, and what page ${named(damaged.path)} holds inside cannot be read`,
      'copy the file again',
    );
  return { page: all[0]!, warnings: ['every page is marked as a thumbnail or mask; page [0] was taken'] };
};
