import type { Defect } from '../check/defects.ts';
import { findDefects } from '../check/find-defects.ts';
import type { Channel } from '../measure/measure.ts';
import { inHalves } from '../plane/progress.ts';
import type { StripOptions } from '../plane/strips.ts';
import { type MeasureLinesOptions, measureLines } from './measure.ts';
import type { OpenLines, Zeros } from './open-lines.ts';

/** A master that was looked at. */
export interface CheckedMaster {
  readonly name: string;
  readonly file: string;
  readonly width: number;
  readonly height: number;
}

/** What is wrong with masters, each by itself and together. */
export interface CheckReport {
  readonly masters: readonly CheckedMaster[];
  /** What one master has and the sky has not, line by line: trails, columns, rows, seams, spots. */
  readonly defects: readonly Defect[];
  /** What does not fit, each a sentence that names the file: filter, copies, shifts, sizes, stretched masters. */
  readonly warnings: readonly string[];
}

/** Finds defects of lines; those of one size help to tell what is in the sky. */
export const defectsOf = async (channels: readonly Channel[], options: StripOptions = {}): Promise<Defect[]> => {
  const sizeOf = ({ source }: Channel) => `${source.width} × ${source.height}`;
  const found: Defect[] = [];
  for (const size of new Set(channels.map(sizeOf)))
    found.push(
      ...(await findDefects(
        channels.filter((channel) => sizeOf(channel) === size),
        options,
      )),
    );
  return channels.flatMap(({ name }) => found.filter(({ channel }) => channel === name));
};

/**
 * Looks at masters before they are mixed, at full size: for what is in one of them and not in the sky, and for what does not
 * fit. Masters of different sizes are looked at all the same.
 * @throws LinewashError 'input' where a line has no master, or no pixel is covered by all lines of one size
 */
export const checkLines = async (
  lines: OpenLines,
  names: readonly string[],
  zeros: Zeros,
  { progress, ...options }: MeasureLinesOptions = {},
): Promise<CheckReport> => {
  const channels: Channel[] = [];
  for (const name of names) channels.push(...(await lines.full([name], zeros, options)));
  const [looking, measuring] = inHalves(progress);
  const defects = await defectsOf(channels, { ...options, progress: looking });
  const { warnings } = await measureLines(channels, { ...options, progress: measuring });
  const masters = channels.map(({ name, source: { file, width, height } }) => ({ name, file, width, height }));
  return { masters, defects, warnings };
};
