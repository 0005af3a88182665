import { SPACES } from '../../lib/colour/spaces.ts';
import { outOfGamut, separations, type Viewer } from '../../lib/colour/statistics.ts';
import { jacobianAt, outputFunction } from '../../lib/hours/outputs.ts';
import type { Measured } from '../../lib/plane/measured.ts';
import type { Settled } from '../../lib/recipe/settled.ts';
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

/** @param measured level and noise of each line, by name */
export const figuresOf = (
  settled: Settled,
  measured: Readonly<Record<string, Pick<Measured, 'level' | 'noise'>>>,
  viewer: Viewer,
): Figures => ({
  separation: separationOf(settled, viewer),
  noise: noiseOf(settled, measured),
  outside: outOfGamut(settled.matrix),
});

const separationOf = (settled: Settled, viewer: Viewer): number | undefined => {
  const space = SPACES[settled.space];
  const shown = swatches(settled);
  const used = settled.channels.filter((_, c) => settled.matrix.some((row) => row[c] !== 0));
  const light = used.map(
    ({ name }) => shown[name]!.map((v) => space.decode(v / 255)) as unknown as [number, number, number],
  );
  const pairs = separations(light, space).filter((pair) => pair.viewer === viewer);
  return pairs.length === 0 ? undefined : Math.min(...pairs.map(({ ciede2000 }) => ciede2000));
};

/** First order: JCGM 102:2011, 6.2.1.3. */
const noiseOf = (settled: Settled, measured: Readonly<Record<string, Pick<Measured, 'level' | 'noise'>>>): number => {
  const { channels } = settled;
  const sky = channels.map(({ name, background }) => (background === 0 ? (measured[name]?.level ?? 0) : background));
  const rows = jacobianAt(settled, outputFunction(settled), sky).slice(0, 3);
  const parts = rows.flatMap((row) => row.map((slope, c) => (slope * (measured[channels[c]!.name]?.noise ?? 0)) ** 2));
  return Math.sqrt(parts.reduce((sum, part) => sum + part, 0));
};
