import { starlessName, starlessOptions, starPictureFile, starsName } from './apart.ts';
import { LAST_YEAR_NAME, LATER_NAME, lastYearFile, laterFile, masterFile, masterName } from './file.ts';
import { LATER, LINES, type SceneOptions, type TargetName } from './options.ts';
import { LAST_YEAR } from './palehoop.ts';
import { subsOf } from './subs.ts';
import { completed } from './targets.ts';
import { lineTruth, sceneTruth } from './truth.ts';

/** What `linewash samples` can ask for. */
export interface SampleRequest {
  /** For subs, all targets where none is named; else Emberwing. */
  readonly target?: TargetName;
  readonly kind: 'masters' | 'starless' | 'subs';
  /** Width of the full frame in pixels; its height follows the target's shape. The target's own where left out. */
  readonly width?: number;
}

/** One file, and the share of all work that is done with it, 0 to 1. */
export interface SampleFile {
  /** Folders in it are separated by `/`. */
  readonly name: string;
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly done: number;
}

const sized = (target: TargetName, wanted: number | undefined): SceneOptions => {
  const own = completed({ target });
  const width = wanted ?? own.width;
  return { ...own, width, height: Math.round((width * own.height) / own.width) };
};

async function* subFiles(target: TargetName | undefined): AsyncGenerator<SampleFile> {
  const subs = subsOf(target);
  for (const [i, sub] of subs.entries())
    yield { name: `${sub.night}/${sub.name}`, bytes: await sub.bytes(), done: (i + 1) / subs.length };
}

async function* starlessFiles(options: SceneOptions): AsyncGenerator<SampleFile> {
  const { target } = options;
  const starless = starlessOptions(options);
  const truth = sceneTruth(starless);
  for (const [i, line] of LINES.entries())
    yield {
      name: starlessName(line, target),
      bytes: await masterFile(truth[line], starless.noiseSeed),
      done: (i + 1) / 4,
    };
  yield { name: starsName(target), bytes: await starPictureFile(options), done: 1 };
}

async function* masterFiles(options: SceneOptions, later: boolean): AsyncGenerator<SampleFile> {
  const { target, width, height } = options;
  const truth = sceneTruth(options);
  const count = target === 'palehoop' ? 5 : later ? 4 : 3;
  for (const [i, line] of LINES.entries())
    yield {
      name: masterName(line, target),
      bytes: await masterFile(truth[line], options.noiseSeed),
      done: (i + 1) / count,
    };
  if (later) yield { name: LATER_NAME, bytes: await zipped(await laterFile(lineTruth(LATER, 'O'))), done: 1 };
  if (target !== 'palehoop') return;
  const bytes = await lastYearFile(lineTruth({ ...LAST_YEAR, width, height }, 'O'));
  yield { name: LAST_YEAR_NAME, bytes, done: 1 };
}

/** With the platform's own deflate, whose bytes are a matter of the platform. */
const zipped = async (bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> =>
  new Uint8Array(
    await new Response(new Blob([bytes]).stream().pipeThrough(new CompressionStream('gzip'))).arrayBuffer(),
  );

/** The files that were asked for, each computed when its turn comes; the same request gives the same bytes. */
export const sampleFiles = ({ target, kind, width }: SampleRequest): AsyncGenerator<SampleFile> => {
  if (kind === 'subs') return subFiles(target);
  const options = sized(target ?? 'emberwing', width);
  // At its own size Emberwing has a further night.
  const later = options.target === 'emberwing' && width === undefined;
  return kind === 'starless' ? starlessFiles(options) : masterFiles(options, later);
};
