import { pixelNoiseOf } from '../hours/survey.ts';
import { type Channel, type MeasureChannelsOptions, measureChannels } from '../measure/measure.ts';
import type { ChannelRegistration } from '../measure/registration/channels.ts';
import { fitTogether } from '../measure/together.ts';
import type { Measured } from '../plane/measured.ts';
import type { Progress } from '../plane/progress.ts';
import type { StripOptions } from '../plane/strips.ts';

/** The numbers of one line, and the noise of one of its pixels. */
export interface MeasuredLine extends Measured {
  /** At the level, in file units; null where there is no room to measure it. */
  readonly noise: number | null;
}

/** The numbers of all lines, and how they lie on one another. */
export interface MeasuredLines {
  readonly lines: readonly MeasuredLine[];
  readonly registration: readonly ChannelRegistration[];
  /** What does not fit, each a sentence that names the file. */
  readonly warnings: readonly string[];
}

export interface MeasureLinesOptions extends StripOptions {
  /** Told 0…1 of comparing the lines, which comes after the measuring that `progress` is told of. */
  readonly registering?: Progress | undefined;
}

/**
 * Measures lines over the pixels that all of one size cover, and looks whether they fit together.
 * @throws LinewashError 'input' where no pixel is covered by all lines of one size.
 */
export const measureLines = async (
  channels: readonly Channel[],
  { registering, ...options }: MeasureLinesOptions = {},
): Promise<MeasuredLines> => {
  const { signal, executor } = options;
  const measured = await measureEach(channels, options);
  const lines: MeasuredLine[] = [];
  for (const [i, { source }] of channels.entries())
    lines.push({ ...measured[i]!, noise: (await pixelNoiseOf(source, measured[i]!, { signal })) ?? null });
  const together = await fitTogether(channels, { signal, executor, progress: registering });
  const warnings = [...sizeWarnings(channels), ...measured.flatMap(measuredWarnings), ...together.warnings];
  return { lines, registration: together.registration, warnings };
};

/** Masters of different sizes cannot be mixed, but each can still be looked at: those of one size are measured together. */
const measureEach = async (channels: readonly Channel[], options: MeasureChannelsOptions): Promise<Measured[]> => {
  const measured = new Map<string, Measured>();
  for (const size of new Set(channels.map(sizeOf))) {
    const alike = channels.filter((channel) => sizeOf(channel) === size);
    for (const found of await measureChannels(alike, options)) measured.set(found.name, found);
  }
  return channels.map(({ name }) => measured.get(name)!);
};

const sizeOf = ({ source }: Channel): string => `${source.width} × ${source.height}`;

const sizeWarnings = ([first, ...others]: readonly Channel[]): string[] =>
  others.flatMap((other) =>
    first === undefined || sizeOf(other) === sizeOf(first)
      ? []
      : [
          `${other.source.file}: ${sizeOf(other)} pixels, but ${first.source.file} has ${sizeOf(first)}: ` +
            'register and crop all masters to one common frame',
        ],
  );

/** More saturated pixels than this share are worth a word. */
const MANY_SATURATED = 0.001;

const measuredWarnings = ({ file, flat, min, stretched, saturated, counted }: Measured): string[] => [
  ...(flat ? [`${file}: every pixel is ${min}: there is no picture in it`] : []),
  ...(stretched ? [`${file}: looks stretched already; linewash expects linear masters, or "curve": "linear"`] : []),
  ...(saturated > MANY_SATURATED * counted
    ? [`${file}: ${Number(((100 * saturated) / counted).toPrecision(3))} % of the pixels are saturated`]
    : []),
];
