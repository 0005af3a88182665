import { SPACES } from '../../lib/colour/spaces.ts';
import { outOfGamut, separations, type Viewer } from '../../lib/colour/statistics.ts';
import { spreadAt } from '../../lib/hours/spread.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { swatches } from './swatches.ts';

/** What candidates are compared by. */
export interface Figures {
  /** CIEDE2000 between the two lines whose colours are closest; undefined where fewer than two lines are used. */
  readonly separation: number | undefined;
  /** What a pixel of sky varies by, red, green and blue together, as a share of white. */
  readonly noise: number;
  /** Share of line strengths in 0…1 whose mix leaves the range. */
  readonly outside: number;
}

/** Level of a line's sky, and the noise of one pixel there, in file units. */
export interface SkyOfLine {
  readonly level: number;
  readonly noise: number;
}

/** @param lines the sky of each line, by name */
export const figuresOf = (settled: Settled, lines: Readonly<Record<string, SkyOfLine>>, viewer: Viewer): Figures => ({
  separation: separationOf(settled, viewer),
  noise: noiseOf(settled, lines),
  outside: outOfGamut(settled.matrix),
});

const separationOf = (settled: Settled, viewer: Viewer): number | undefined => {
  const space = SPACES[settled.space];
  const shown = swatches(settled);
  const used = settled.channels.filter((_, c) => settled.matrix.some((row) => row[c] !== 0));
  const light = used.map(
    ({ name }) => shown[name]!.map((v) => space.display.decode(v / 255)) as unknown as [number, number, number],
  );
  const pairs = separations(light, space).filter((pair) => pair.viewer === viewer);
  return pairs.length === 0 ? undefined : Math.min(...pairs.map(({ ciede2000 }) => ciede2000));
};

const noiseOf = (settled: Settled, lines: Readonly<Record<string, SkyOfLine>>): number => {
  const { channels } = settled;
  const sky = channels.map(({ name, background }) => (background === 0 ? (lines[name]?.level ?? 0) : background));
  const noise = channels.map(({ name }) => lines[name]?.noise ?? 0);
  return spreadAt(settled, sky, noise).noise.colour;
};
