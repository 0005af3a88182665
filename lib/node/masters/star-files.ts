import { openColourPlanes } from '../../formats/colour-planes.ts';
import { openPlane } from '../../formats/open.ts';
import type { Selector } from '../../formats/selector.ts';
import { inputError } from '../../plane/errors.ts';
import { fromFile } from '../../plane/from-file.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { type OpenStars, starsOf } from '../../work/open-stars.ts';
import { openFile } from '../files/file-source.ts';
import { type FileChoice, splitFiles } from '../files/spelling.ts';
import type { Master, MasterFile } from './master.ts';
import { closeFiles } from './masters.ts';

/** A star picture whose files are open. */
export interface StarFiles extends OpenStars {
  /** Its files in the form of a master, to be hashed, guarded and closed with the others. */
  readonly master: Master;
}

/**
 * Opens a star picture: one file with three planes (`stars.tif`, or a FITS cube), three of its planes (`cube.fits#2..4`),
 * three files (`r.fits,g.fits,b.fits`), or one picture without colour.
 * @throws LinewashError 'input' or 'format' naming the file; nothing stays open then.
 */
export const openStars = async (spelling: string): Promise<StarFiles> => {
  const { planes } = planeRange(spelling);
  const choices = await starFiles(spelling);
  if (choices.length !== 1 && choices.length !== 3)
    throw inputError(
      `${choices.length} files are given for the stars`,
      'give one colour picture, or three: red, green and blue',
      spelling,
    );
  const files: MasterFile[] = [];
  try {
    for (const choice of choices)
      files.push({ bytes: await openFile(choice.path, choice.spelling), spelling: choice.spelling });
    const sources = await openPlanes(files, choices, planes);
    const { bytes } = files[0]!;
    return { ...starsOf(sources), master: { name: 'stars', spelling, bytes, files, source: sources[0]! } };
  } catch (cause) {
    await closeFiles(files);
    throw cause;
  }
};

/** The files that a star picture names; they need not exist. */
export const starFiles = (spelling: string): Promise<FileChoice[]> => splitFiles(planeRange(spelling).file);

/** Splits `#1..3` off; planes are 0-based here. */
const planeRange = (spelling: string): { file: string; planes?: number[] } => {
  const match = /^(?<file>.+)#(?<first>\d+)\.\.(?<last>\d+)$/s.exec(spelling);
  if (match?.groups === undefined) return { file: spelling };
  const [first, last] = [Number(match.groups.first), Number(match.groups.last)];
  if (first < 1 || last - first !== 2)
    throw inputError(`#${first}..${last} is not three planes`, 'planes count from 1: write #1..3', spelling);
  return { file: match.groups.file!, planes: [first - 1, first, first + 1] };
};

const openPlanes = async (
  files: readonly MasterFile[],
  choices: readonly FileChoice[],
  planes: readonly number[] | undefined,
): Promise<PlaneSource[]> => {
  const opener =
    (i: number) =>
    async (selector: Selector): Promise<PlaneSource> => {
      const { bytes, spelling } = files[i]!;
      return fromFile(await openPlane(bytes, selector), { file: spelling, at: bytes.path, selector });
    };
  if (choices.length === 1) return openColourPlanes(files[0]!.bytes, choices[0]!.selector, planes, opener(0));
  const sources: PlaneSource[] = [];
  for (const [i, { selector }] of choices.entries()) sources.push(await opener(i)({ ...selector, display: true }));
  return sources;
};
