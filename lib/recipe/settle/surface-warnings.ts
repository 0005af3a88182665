import type { Channel } from '../../measure/measure.ts';
import { CERTAIN } from '../../prepare/background/assess.ts';
import type { FoundSurface } from './found-surface.ts';

/** A surface that rests on less of the frame than this, in either direction, is guessed elsewhere. (A bound of our own.) */
const LEAST_SPAN = 1 / 3;
/** A stated order is worth a word where the most certain one is better by this many times the noise of a pixel. */
const WORTH_A_WORD = 0.25;

/**
 * What speaks against a surface, each a sentence: it is guessed over much of the frame, follows something else than the
 * sky, or leaves something in the picture; or another order is more certain.
 */
export const surfaceWarning = ({ name, source }: Channel, found: FoundSurface): string[] =>
  [spanWarning, scatterWarning, uncertaintyWarning, shadowWarning, glowWarning].flatMap((warning) =>
    warning(found).map((words) => `${name} (${source.file}): ${words}`),
  );

const figure = (v: number) => Number(v.toPrecision(2));

const spanWarning = ({ span }: FoundSurface): string[] => {
  if (Math.min(span.width, span.height) >= LEAST_SPAN) return [];
  const percent = (share: number) => Math.round(100 * share);
  return [
    `the sky that the background surface rests on spans ${percent(span.width)} × ${percent(span.height)} % of the ` +
      'frame, elsewhere it is a guess; draw boxes of sky all over, or lower the order',
  ];
};

/** What is left between the blocks used is more than noise. */
const scatterWarning = ({ fit, grid, pixelNoise, correlated }: FoundSurface): string[] => {
  if (!(fit.rms > pixelNoise || correlated > CERTAIN * pixelNoise)) return [];
  const used = fit.used.filter(Boolean).length;
  const exact = (v: number) => Number(v.toPrecision(3));
  return [
    `the sky blocks scatter by ${exact(fit.rms)} about the background surface, neighbours alike by ${exact(correlated)}, ` +
      `while the noise of a pixel is ${exact(pixelNoise)} (${used} of ${grid.blocks.length} blocks used): it may follow ` +
      'the nebula; draw boxes in the sky (include) or over the nebula (exclude), or lower the order',
  ];
};

/** The order that was stated, or the best that there is, is not good enough. */
const uncertaintyWarning = ({ fit, uncertainty, best, pixelNoise, reach }: FoundSurface): string[] => {
  const { order } = fit.surface;
  const better = uncertainty - best.uncertainty > WORTH_A_WORD * pixelNoise;
  const unsure = !(uncertainty <= CERTAIN * pixelNoise);
  if (!better && !unsure) return [];
  const words = `the background surface of order ${order} is uncertain by ${inNoise(uncertainty, pixelNoise)}`;
  if (better) return [`${words}; order ${best.order} is better: ${inNoise(best.uncertainty, pixelNoise)}`];
  if (!(uncertainty < reach))
    return [`${words}, more than it takes off: the level alone, without a surface, is likely to be better`];
  return [`${words}, and no other order is better; draw boxes of sky all over the frame, or take off the level alone`];
};

const inNoise = (value: number, noise: number): string =>
  Number.isFinite(value) && noise > 0 ? `${figure(value / noise)} × the noise of a pixel` : 'an unknown amount';

const shadowWarning = ({ shadow, grid, pixelNoise }: FoundSurface): string[] => {
  if (shadow === undefined) return [];
  const inside = grid.blocks.filter((_, k) => shadow.blocks[k] === 1);
  const range = (values: readonly number[]) => [Math.min(...values), Math.max(...values)].map(Math.round).join('–');
  const place = `x ${range(inside.map(({ x }) => x))}, y ${range(inside.map(({ y }) => y))}`;
  const depth = `up to ${figure(shadow.depth / pixelNoise)} × the noise of a pixel`;
  const words = {
    removed: `a shadow at the edge (${place}), ${depth} deep, is taken off with the background surface; shadows can be kept in the picture instead (shadows: keep)`,
    kept: `a shadow at the edge (${place}), ${depth} deep, stays in the picture; it can be taken off instead (shadows: remove)`,
    doubtful: `the edge is dark (${place}), ${depth}: a shadow, or the only sky beside nebula. The surface is too uncertain to tell, so nothing was taken off; draw boxes of sky (include), or leave the place out (exclude)`,
  };
  return [words[shadow.what]];
};

const glowWarning = ({ glows, pixelNoise }: FoundSurface): string[] =>
  glows.map(
    ({ corner, height }) =>
      `the ${corner} corner is brighter by ${figure(height / pixelNoise)} × the noise of a pixel and fades away from it, as ` +
      'the glow of a sensor does; a background surface leaves it. Check the dark frames, or crop the corner',
  );
