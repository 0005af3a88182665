import { endingsFor, formatOf, type PictureFormat } from '../formats/pictures.ts';
import { inputError, outputError } from '../plane/errors.ts';
import { faintPicture } from '../render/faint-picture.ts';
import { findFaint } from '../work/faint.ts';
import type { Faint, FaintWish } from '../work/faint-report.ts';
import type { Zeros } from '../work/open-lines.ts';
import { findingsCache } from './cache/findings-cache.ts';
import { writeWhole } from './files/write-whole.ts';
import { withLines } from './masters/file-lines.ts';
import { refuseInputAsOutput, refuseOutput } from './mix-files.ts';
import { withExecutor } from './threads/executor.ts';

/** A master of one line, or several of it, and what is asked of it. */
export interface FaintOptions extends FaintWish {
  /** One line → file, or files of that line with commas between. */
  readonly inputs: Readonly<Record<string, string>>;
  /** A picture of the map, .tif, .png or .jpg; none where absent. */
  readonly output?: string | undefined;
  /** Whether zeros connected to the border are missing data; 'undefined', that they are, by default. */
  readonly zeros?: Zeros | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly force?: boolean | undefined;
  /** A folder that keeps what was found of masters. */
  readonly cache?: string | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

/** What was found, and what should be known of the masters. */
export interface FaintResult extends Omit<Faint, 'map'> {
  /** The file of the master, or of all with commas between. */
  readonly file: string;
  readonly warnings: readonly string[];
}

/**
 * What stands out of the noise of one line, and the hours until it shows.
 * @throws LinewashError 'input' and 'format' before anything is written, 'usage' for other than one line, 'output' with nothing left behind
 */
export const faintFiles = (options: FaintOptions): Promise<FaintResult> => {
  const { inputs, output, zeros = 'undefined', apart, force = false, cache, signal, progress, ...wish } = options;
  return withExecutor(signal, async (executor) => {
    const [name, ...others] = Object.keys(inputs);
    if (name === undefined || others.length > 0)
      throw inputError('one line is looked at, not several', 'give the masters of one line');
    const format = output === undefined ? undefined : await writable(output, force);
    return withLines(inputs, { apart, signal, executor, cache: findingsCache(cache) }, async (lines) => {
      const [master] = await lines.masters(zeros);
      if (output !== undefined) await refuseInputAsOutput(output, [master!]);
      const { map, ...found } = await findFaint(master!, wish, {
        signal,
        executor,
        progress: (done) => progress?.('measure', done),
      });
      if (output !== undefined) await writeMap(output, format!, force, { map, ...found });
      const { source, match } = master!;
      const warnings = [...source.warnings.map((words) => `${source.file}: ${words}`), ...(match?.warnings ?? [])];
      return { ...found, file: source.file, warnings };
    });
  });
};

/** The format of a picture that may be written. */
const writable = async (output: string, force: boolean): Promise<PictureFormat> => {
  const format = formatOf(output);
  if (format === undefined || !format.samples.includes('u8'))
    throw outputError(output, `the map is written as ${endingsFor('u8')}`, 'choose one of these endings');
  await refuseOutput({ output, force });
  return format;
};

const writeMap = (output: string, format: PictureFormat, force: boolean, found: Faint | Omit<Faint, 'limits'>) => {
  const { width, height, data } = faintPicture(found);
  return writeWhole(output, force, async (sink) => {
    const writer = await format.writer(sink, { width, height, bands: 3, sample: 'u8', space: 'srgb', note: '' });
    await writer.writeRows(data);
    await writer.finish();
  });
};
