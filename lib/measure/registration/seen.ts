import { memo } from '../../plane/memo.ts';
import { type Feature, featureOf, type Kind, ROUND, WAVE } from './features.ts';
import type { Picture } from './picture.ts';
import { shrunk } from './shrink.ts';
import { type TileSpectra, tileSpectra } from './tile-spectra.ts';
import { layTiles, type Tile, tilesAt } from './tiles.ts';

/** A way to look at a picture: the kind of features, and how far the picture is shrunk for them. */
export interface Aspect {
  readonly kind: Kind;
  readonly further: number;
}

/** Stars and knots, and blobs of rising size. */
export const ASPECTS: readonly Aspect[] = [
  { kind: ROUND, further: 1 },
  { kind: WAVE, further: 1 },
  { kind: WAVE, further: 2 },
  { kind: WAVE, further: 4 },
];

/** A picture and its features, each found when it is first asked for. */
export interface Seen {
  readonly picture: Picture;
  /** Undefined where nothing varies or hardly any pixel holds data. */
  feature(aspect: Aspect): Feature | undefined;
}

export const seenAs = (picture: Picture): Seen => ({
  picture,
  feature: memo(({ kind, further }) => featureOf(kind, shrunk(picture, further))),
});

/** A reference: what is seen of it, and its tiles by aspect with their spectra. */
export interface SeenReference extends Seen {
  tiles(aspect: Aspect): readonly Tile[];
  spectra(aspect: Aspect): TileSpectra | undefined;
}

export const referenceAs = (picture: Picture): SeenReference => {
  const seen = seenAs(picture);
  const whole = layTiles(picture.width, picture.height);
  const tiles = memo(({ further }: Aspect) => tilesAt(further, whole));
  const spectra = memo((aspect: Aspect) => {
    const feature = seen.feature(aspect);
    return feature && tileSpectra(feature, tiles(aspect));
  });
  return { ...seen, tiles, spectra };
};
