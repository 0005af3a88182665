import { blockError, errorOf } from './measures.ts';
import { oklabOf, type Planes, prepared, type Size, settledFor, unsmoothed } from './pictures.ts';
import { type Draw, drawScene, type Regions, regionsOf, type Scene } from './scene.ts';

/** Pictures in OKLab: of the truth, of the masters, and of the masters smoothed, all mixed by the masters' numbers. */
const picturesOf = async (truth: Planes, drawn: Planes, size: Size) => {
  const settled = await settledFor(drawn, size);
  const smooth = await prepared(settled, drawn, size);
  const raw = await oklabOf(settled, await prepared(unsmoothed(settled), drawn, size), size);
  const clean = await oklabOf(settled, await prepared(unsmoothed(settled), truth, size), size);
  return { settled, smooth, lab: await oklabOf(settled, smooth, size), raw, clean };
};

/** What smoothing leaves of the error of a scene's picture. */
export interface ColourFigures {
  /** Errors over those without smoothing. */
  readonly ab: Readonly<Record<keyof Regions, number>>;
  readonly L: Readonly<Record<keyof Regions, number>>;
  /** Shares of the frame. */
  readonly share: Readonly<Record<keyof Regions, number>>;
  readonly block: { readonly moved: number; readonly before: number; readonly after: number };
  readonly scene: Scene;
  readonly smooth: Planes;
}

export const colourFigures = async (draw: Draw): Promise<ColourFigures> => {
  const scene = drawScene(draw);
  const { smooth, lab, raw, clean } = await picturesOf(scene.truth, scene.drawn, scene);
  const regions = Object.entries(regionsOf(scene)).map(([name, marks]) => {
    const [before, after] = [errorOf(raw, clean, marks), errorOf(lab, clean, marks)];
    return { name, ab: after.ab / before.ab, L: after.L / before.L, share: after.share };
  });
  const by = (key: 'ab' | 'L' | 'share') =>
    Object.fromEntries(regions.map((region) => [region.name, region[key]])) as ColourFigures['ab'];
  const block = {
    moved: blockError(lab, raw, scene).rms,
    before: blockError(raw, clean, scene).rms,
    after: blockError(lab, clean, scene).rms,
  };
  return { ab: by('ab'), L: by('L'), share: by('share'), block, scene, smooth };
};

/** The same for any masters, taken for the truth, and planes with noise added. */
export const pictureFigures = async (truth: Planes, drawn: Planes, size: Size) => {
  const { lab, raw, clean } = await picturesOf(truth, drawn, size);
  const [before, after] = [errorOf(raw, clean), errorOf(lab, clean)];
  return { ab: after.ab / before.ab, L: after.L / before.L };
};
