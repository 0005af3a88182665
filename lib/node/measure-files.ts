import type { Defect } from '../check/defects.ts';
import type { ChannelRegistration } from '../measure/registration/channels.ts';
import type { BoxNumbers } from '../plane/box.ts';
import { inputError } from '../plane/errors.ts';
import { type CombinedLine, combinationNotes, combinationsOf } from '../recipe/settle/combinations.ts';
import { defectsOf } from '../work/check.ts';
import { listStars, type StarsReport } from '../work/list-stars.ts';
import { type MeasuredLine, measureLines } from '../work/measure.ts';
import type { Zeros } from '../work/open-lines.ts';
import { withLines } from './masters/file-lines.ts';
import type { Master } from './masters/master.ts';
import { readWarnings } from './masters/read-warnings.ts';
import { type SurfaceReport, surfaceFiles } from './surface-files.ts';
import { withExecutor } from './threads/executor.ts';

/** A background surface to be fitted to each master, for looking at. Boxes are left, top, width and height in pixels. */
export interface SurfaceLookOptions {
  /** 1…4; the most certain one where absent. */
  readonly order?: 1 | 2 | 3 | 4 | undefined;
  /** Boxes of sky that the fit rests on; the whole frame where absent. */
  readonly include?: readonly BoxNumbers[] | undefined;
  /** Boxes that the fit leaves out. */
  readonly exclude?: readonly BoxNumbers[] | undefined;
  /** A file to draw the surfaces and the blocks that they rest on: .tif, .png or .jpg. */
  readonly picture?: string | undefined;
}

/** The masters to be measured, and what is asked of them besides. */
export interface MeasureOptions {
  /** Line → file, with an optional selector; files of one line with commas between are combined. */
  readonly inputs: Readonly<Record<string, string>>;
  /** A pixel whose value in each line is asked for: column and row, counted from 0 at the top left. */
  readonly at?: readonly [x: number, y: number] | undefined;
  readonly background?: SurfaceLookOptions | undefined;
  /** Whether the stars of the lines are found and measured. */
  readonly stars?: boolean | undefined;
  /** Whether the masters are checked for defects. */
  readonly defects?: boolean | undefined;
  /** Whether zeros connected to the border are missing data; 'undefined', that they are, by default. */
  readonly zeros?: Zeros | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  /** Whether the picture of the surfaces may replace a file. */
  readonly force?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'open' | 'measure' | 'register', done: number) => void) | undefined;
}

/** A line of measured files. */
export interface MeasuredFile extends MeasuredLine {
  /** The value at the pixel asked for, in file units; null where it is undefined, absent where none is asked for. */
  readonly value?: number | null;
}

/** What the masters are, and whether they fit together. */
export interface MeasureResult {
  readonly channels: readonly MeasuredFile[];
  /** How each line lies on the first; empty for one line. */
  readonly registration: readonly ChannelRegistration[];
  /** The lines that were combined from several files. */
  readonly combined: readonly CombinedLine[];
  /** Absent where no background surface is asked for. */
  readonly surfaces?: readonly SurfaceReport[];
  /** The stars of all lines; absent where they are not asked for. */
  readonly stars?: StarsReport;
  /** What one master has and the sky has not; absent where it is not asked for. */
  readonly defects?: readonly Defect[];
  /** What does not fit, each a sentence that names the file. */
  readonly warnings: readonly string[];
}

/**
 * Measures masters over the pixels that all of them cover, and reports what does not fit. Masters of different sizes are
 * measured too, with a warning.
 * @throws LinewashError 'input' and 'format' naming the file, 'output' where the picture of the surfaces cannot be written
 */
export const measureFiles = (options: MeasureOptions): Promise<MeasureResult> => {
  const { inputs, apart, signal, zeros = 'undefined', progress } = options;
  const show = (stage: 'open' | 'measure' | 'register') => (done: number) => progress?.(stage, done);
  return withExecutor(signal, (executor) =>
    withLines(inputs, { apart, signal, executor }, async (lines) => {
      const masters = await lines.masters(zeros, { progress: show('open') });
      const { background, at, force } = options;
      const values = at && (await valuesAt(masters, at));
      const looking = { signal, executor, progress: show('measure'), registering: show('register') };
      const found = await measureLines(masters, looking);
      const names = Object.keys(inputs);
      const stars = options.stars ? await listStars(lines, names, zeros, { signal, executor }) : undefined;
      const defects = options.defects ? await defectsOf(masters, { signal, executor }) : undefined;
      const seen = background && (await surfacesOf(masters, background, { signal, executor, force }));
      return {
        channels: found.lines.map((line, i) => ({ ...line, ...(values && { value: values[i]! }) })),
        registration: found.registration,
        combined: combinationsOf(masters),
        ...(seen && { surfaces: seen.surfaces }),
        ...(stars && { stars }),
        ...(defects && { defects }),
        warnings: [
          ...masters.flatMap(readWarnings),
          ...found.warnings,
          ...combinationNotes(masters),
          ...(seen?.warnings ?? []),
        ],
      };
    }),
  );
};

const surfacesOf = (
  masters: readonly Master[],
  { order, include, exclude, picture }: SurfaceLookOptions,
  options: Omit<Parameters<typeof surfaceFiles>[2], 'picture'>,
) => {
  const plain = (boxes: readonly BoxNumbers[] | undefined) =>
    boxes?.map((box): [number, number, number, number] => [...box]);
  const wish = { model: 'surface' as const, order, include: plain(include), exclude: plain(exclude) };
  return surfaceFiles(masters, wish, { ...options, picture });
};

/** Physical values at one pixel; null where undefined. */
const valuesAt = async (masters: readonly Master[], [x, y]: readonly [number, number]): Promise<(number | null)[]> => {
  const values: (number | null)[] = [];
  for (const { source } of masters) {
    if (x >= source.width || y >= source.height)
      throw inputError(
        `${x},${y} lies outside ${source.width} × ${source.height} pixels`,
        'count from 0 at the top left',
        source.file,
      );
    const row = new Float64Array(source.width);
    await source.readRows(y, 1, row);
    values.push(Number.isFinite(row[x]) ? row[x]! : null);
  }
  return values;
};
