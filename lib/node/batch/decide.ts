import { formatOf } from '../../formats/pictures.ts';
import { type Remedy, throwIfCancelled } from '../../plane/errors.ts';
import { VERSION } from '../../plane/version.ts';
import { notePicture } from '../../recipe/share/note.ts';
import { canonicalForm } from '../../recipe/written/canonical.ts';
import { checkedRecipe } from '../../recipe/written/parse.ts';
import { fileIdentity } from '../files/file-identity.ts';
import { openFile } from '../files/file-source.ts';
import { hashFile, knownHash, rememberHash } from '../files/hash-file.ts';
import { splitFiles } from '../files/spelling.ts';
import { starFiles } from '../masters/star-files.ts';
import type { BatchPicture, BatchWork } from './jobs.ts';
import { type Found, noteOf } from './note-of.ts';
import { failedReport } from './picture-report.ts';

/** What is to be done about one picture, and why, in words. */
export type Decision =
  | { readonly kind: 'make'; readonly why: string; readonly replace: boolean }
  | { readonly kind: 'keep'; readonly why: string }
  | { readonly kind: 'refuse'; readonly why: string; readonly advice: string; readonly remedy: Remedy };

type Note = Extract<Found, { kind: 'ours' }>['note'];

/** A file of another origin is not replaced unasked. @param why how it is known to be one */
export const foreignFault = (why: string): string => `exists already, and linewash did not make it (${why})`;

export const FOREIGN_ADVICE = {
  advice: 'choose another name, or replace the file',
  remedy: { option: 'force' },
} as const;

/**
 * Decides whether a picture has to be made: not where one lies there that the same version made by the same recipe in
 * the same form from masters with the same content, as its own note says. Masters are hashed only where all else
 * agrees, and each only once by a process.
 * @param force makes it anyway, and replaces what linewash did not write
 * @throws LinewashError 'input' where a master cannot be read
 */
export const decide = async (picture: BatchPicture, force: boolean): Promise<Decision> => {
  const found = await noteOf(picture.output);
  if (found.kind === 'none') return { kind: 'make', why: 'new', replace: force };
  if (force) return { kind: 'make', why: 'asked for', replace: true };
  if (found.kind === 'foreign') {
    return { kind: 'refuse', why: foreignFault(found.why), ...FOREIGN_ADVICE };
  }
  const why = await difference(found.note, picture);
  return why === undefined ? { kind: 'keep', why: 'up to date' } : { kind: 'make', why, replace: true };
};

/** What makes a picture out of date; undefined for nothing. */
const difference = async (note: Note, picture: BatchPicture): Promise<string | undefined> => {
  if (note.writer !== VERSION) return `linewash ${String(note.writer)} → ${VERSION}`;
  if ((await canonicalText(note.recipe)) !== (await canonicalText(writtenFor(picture)))) return 'the recipe changed';
  if (JSON.stringify(note.picture) !== JSON.stringify(formFor(picture))) return 'size, bits, alpha or crop changed';
  return changedInputs(note.inputs, picture);
};

/** The recipe as the picture will carry it. */
const writtenFor = ({ written, space }: BatchPicture) => (space === undefined ? written : { ...written, space });

/** How the picture is written, as its note will have it. */
const formFor = ({ output, sample, alpha, crop, size }: BatchPicture) =>
  notePicture({ sample, usual: formatOf(output)!.samples[0]!, alpha, crop, size }).picture;

/** undefined for what is no recipe to this version. */
const canonicalText = async (recipe: unknown): Promise<string | undefined> => {
  try {
    return JSON.stringify(await canonicalForm(checkedRecipe(recipe)));
  } catch {
    return undefined;
  }
};

const changedInputs = async (noted: unknown, picture: BatchPicture): Promise<string | undefined> => {
  const before = Array.isArray(noted) ? (noted as { channel?: unknown; sha256?: unknown }[]) : [];
  const now = await filesOf(picture);
  const names = (entries: readonly { channel?: unknown }[]) => entries.map(({ channel }) => channel);
  const lines = (entries: typeof before) =>
    names(entries)
      .filter((name) => name !== STARS)
      .join();
  if (lines(before) !== lines(now)) return 'other masters';
  if (names(before).join() !== names(now).join()) return 'other stars';
  for (const [i, { channel, path }] of now.entries())
    if (before[i]!.sha256 !== hashOf(path)) return `${channel} changed`;
  return undefined;
};

/** What a note calls the files of a picture of stars. */
const STARS = 'stars';

/** All files that go into a picture, in the order of its note. */
const filesOf = async ({ inputs, stars }: BatchPicture) => {
  const files: { channel: string; path: string }[] = [];
  for (const [channel, spelling] of Object.entries(inputs))
    for (const { path } of await splitFiles(spelling)) files.push({ channel, path });
  if (stars === undefined) return files;
  const starred = await starFiles(stars);
  return [...files, ...starred.map(({ path }) => ({ channel: STARS, path }))];
};

const hashOf = (path: string): string => {
  const identity = fileIdentity(path);
  const before = knownHash(identity);
  if (before !== undefined) return before;
  const hash = hashFile(path)!;
  rememberHash(identity, hash);
  return hash;
};

/** A decision about one picture of a batch, as it is listed. */
export interface PictureDecision {
  readonly target: string;
  readonly recipe: string;
  readonly output: string;
  readonly action: Decision['kind'];
  readonly why: string;
}

/**
 * What a run would do about each picture, and why. Nothing is written.
 * @throws LinewashError 'cancelled'
 */
export const decideAll = async (work: BatchWork, force: boolean, signal?: AbortSignal): Promise<PictureDecision[]> => {
  const decisions: PictureDecision[] = [];
  for (const picture of work.jobs.flatMap(({ pictures }) => pictures)) {
    throwIfCancelled(signal);
    const { target, recipe, output, fault } = picture;
    const { kind, why } =
      fault === undefined ? await decideOrRefuse(picture, force) : ({ kind: 'refuse', why: fault } as const);
    decisions.push({ target, recipe, output, action: kind, why });
  }
  return decisions;
};

const decideOrRefuse = async (picture: BatchPicture, force: boolean): Promise<Pick<Decision, 'kind' | 'why'>> => {
  try {
    const decision = await decide(picture, force);
    if (decision.kind === 'make') for (const { path } of await filesOf(picture)) await (await openFile(path)).close();
    return decision;
  } catch (cause) {
    return { kind: 'refuse', why: failedReport(picture, cause, 0).why };
  }
};
