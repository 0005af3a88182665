import type { Match, MatchedPart } from '../../prepare/match.ts';
import type { Settled, SettledPart } from './settled.ts';

/** A channel that may have been combined from several masters. */
export interface Combinable {
  readonly name: string;
  /** How they were combined; absent for one master. */
  readonly match?: Match | undefined;
}

/** What is to be said of masters that were combined from several files: shares, gain, outliers, and what stood in the way. */
export const combinationNotes = (masters: readonly Combinable[]): string[] =>
  masters.flatMap(({ name, match }) => {
    if (match === undefined) return [];
    const { parts, gain } = match;
    const shares = parts.map(({ weight }) => `${Math.round(100 * weight)} %`).join(' + ');
    const less = gain === undefined ? '' : `: ${gain.toFixed(2)} × less noise than the best of them`;
    return [`${name}: ${parts.length} masters combined (${shares})${less}`, ...outlierNotes(parts), ...match.warnings];
  });

/** What was left out of each master, and where most of it lies. */
export const outlierNotes = (parts: readonly Pick<MatchedPart, 'source' | 'outliers'>[]): string[] =>
  parts.flatMap(({ source, outliers }) => {
    const [most] = outliers?.largest ?? [];
    if (outliers === undefined || most === undefined) return [];
    const { x, y, width, height } = most;
    return [
      `${source.file}: ${outliers.pixels} pixels (${percent(outliers.share)} %) hold what the other masters do not show and are left out; ` +
        `the largest group lies at ${x},${y}, ${width} × ${height} pixels`,
    ];
  });

/** Two digits that count. */
const percent = (share: number): string => String(Number((100 * share).toPrecision(2)));

/** How a line was combined, as plain numbers. */
export interface CombinedLine {
  readonly line: string;
  /** Absent where it is not known. */
  readonly gain?: number | undefined;
  /** Each with its noise at the scales of nebula, in units of the first. */
  readonly parts: readonly (SettledPart & { readonly noise: number })[];
}

/** The lines that were combined from several masters. */
export const combinationsOf = (masters: readonly Combinable[]): CombinedLine[] =>
  masters.flatMap(({ name, match }) =>
    match === undefined
      ? []
      : [
          {
            line: name,
            gain: match.gain,
            parts: match.parts.map((part) => ({ ...settledPart(part), noise: part.noise })),
          },
        ],
  );

/** Settled numbers with what combining did to the masters. */
export const withCombinations = (settled: Settled, masters: readonly Combinable[]): Settled => ({
  ...settled,
  channels: settled.channels.map((channel) => {
    const match = masters.find(({ name }) => name === channel.name)?.match;
    if (match === undefined) return channel;
    return { ...channel, combined: match.parts.map(settledPart) };
  }),
});

/** A part as plain numbers. A note names files without their folders. */
const settledPart = ({ source, scale, offset, weight, outliers }: Omit<MatchedPart, 'noise'>): SettledPart => ({
  file: source.file.replace(/^.*[\\/]/, ''),
  scale,
  offset,
  weight,
  ...(outliers && {
    outliers: { pixels: outliers.pixels, share: outliers.share, largest: outliers.largest },
  }),
});
