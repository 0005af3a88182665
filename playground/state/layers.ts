import { atom, type PreinitializedWritableAtom } from 'nanostores';
import type { NoiseShares } from '../../lib/hours/noise-shares.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Preview } from '../../lib/web/preview.ts';
import type { Layer } from '../model/draw-picture.ts';
import { latest } from '../model/latest.ts';
import { $detail } from './detail.ts';
import { report } from './messages.ts';
import { mixPart } from './mixing.ts';
import { FINE } from './picture.ts';

/** A mix that is shown beside the one on screen, or in its place. */
export interface OtherMix {
  readonly lines: Readonly<Record<string, string>>;
  readonly recipe: WrittenRecipe;
  /** A line: what smoothing takes from it is shown, and not the mix. */
  readonly removed?: string | undefined;
  /** Whether the mask of the stars in the masters is shown, and not the mix. */
  readonly mask?: boolean | undefined;
  /** What longer exposures leave of the noise of each line: an estimate is shown. */
  readonly longer?: NoiseShares | undefined;
}

/** Layers of another mix under the same camera. */
export interface OtherLayers {
  /** Nothing until it is mixed; full-size pixels wherever the mix on screen has them. */
  readonly $layers: PreinitializedWritableAtom<readonly Layer[]>;
  /** Mixes it anew; nothing where there is none. */
  show(mix: OtherMix | undefined): Promise<void>;
  /** Follows the part of the mix on screen that is shown from the full-size masters. */
  sharpen(): Promise<void>;
  stop(): void;
}

const wholeLayer = (picture: Preview): Layer => ({ picture, box: { x: 0, y: 0, ...picture.full } });

/** @param topic what messages about it belong to */
export const otherLayers = (topic: string): OtherLayers => {
  const $layers = atom<readonly Layer[]>([]);
  const mixing = latest();
  const sharpening = latest();
  let current: OtherMix | undefined;
  let whole: Preview | undefined;
  const sharpen = async (): Promise<void> => {
    const control = sharpening.begin();
    const [mix, detail, base] = [current, $detail.get(), whole];
    if (mix === undefined || base === undefined) return;
    if (detail === undefined) return void $layers.set([wholeLayer(base)]);
    const { box } = detail;
    try {
      const picture = await mixPart({ ...mix, box }, { signal: control.signal });
      if (!control.signal.aborted && whole === base) $layers.set([wholeLayer(base), { picture, box }]);
    } catch (error) {
      if (!control.signal.aborted) report(topic, error);
    }
  };
  return {
    $layers,
    sharpen,
    async show(mix) {
      const control = mixing.begin();
      sharpening.stop();
      $layers.set([]);
      whole = undefined;
      current = mix;
      if (mix === undefined) return;
      try {
        const picture = await mixPart({ ...mix, longest: FINE }, { signal: control.signal });
        if (control.signal.aborted) return;
        whole = picture;
        $layers.set([wholeLayer(picture)]);
        void sharpen();
      } catch (error) {
        if (!control.signal.aborted) report(topic, error);
      }
    },
    stop() {
      mixing.stop();
      sharpening.stop();
    },
  };
};
