import { isColourPicture, openColourPlanes } from '../formats/colour-planes.ts';
import { openPlane } from '../formats/open.ts';
import { checkSizes } from '../measure/measure.ts';
import { inputError } from '../plane/errors.ts';
import { planeSource } from '../plane/memory-plane.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { SettledStars } from '../recipe/settle/settled.ts';
import { settleStars } from '../recipe/settle/stars.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { renderPicture } from '../render/picture.ts';
import { shrink } from '../render/shrink.ts';
import { type Bench, zerosOf } from './bench.ts';
import { blobSource } from './bytes/blob-source.ts';
import { type Box, crop } from './crop.ts';
import type { Lines } from './measure-lines.ts';
import { sizeOf, withNumbers } from './numbers.ts';
import { once } from './open-master.ts';
import { plainOf } from './plain.ts';
import { renderForScreen } from './screen.ts';
import type { Preview } from './service.ts';
import type { CallContext } from './wire/rpc.ts';

/** A chosen file. */
export interface StarFile {
  readonly name: string;
  readonly blob: Blob;
}

/** Whether a file holds a picture in colour, which is no master. */
export const isColour = ({ name, blob }: StarFile): Promise<boolean> => isColourPicture(blobSource(name, blob));

/** An open picture of the stars: one colour picture, or three that stand for red, green and blue. */
export interface StarPicture {
  readonly files: readonly StarFile[];
  readonly sources: readonly PlaneSource[];
  settled(wish: Recipe['stars'], options: StripOptions): Promise<SettledStars>;
  small(longest: number, options: StripOptions): Promise<readonly PlaneSource[]>;
}

/** What the page is told about opened stars. */
export interface OpenedStars {
  readonly width: number;
  readonly height: number;
}

/** A mix with stars laid over: all of it at a size for the screen, or a box of the full-size masters. */
export interface StarryQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  readonly longest: number;
  readonly box?: Box | undefined;
}

/** The open picture of the stars, of which there is one at most. */
export interface StarDesk {
  open(files: readonly StarFile[]): Promise<OpenedStars>;
  /** @throws LinewashError 'input' where none is open. */
  get(): StarPicture;
  render(question: StarryQuestion, context: CallContext): Promise<Preview>;
}

export const createStarDesk = (bench: Bench): StarDesk => {
  let current: StarPicture | undefined;
  const get = (): StarPicture => {
    if (current === undefined) throw inputError('no picture of the stars is open', 'open it again');
    return current;
  };
  return {
    get,
    async open(files) {
      current = await openStars(files);
      const { width, height } = current.sources[0]!;
      return { width, height };
    },
    async render({ lines, recipe, longest, box }, { signal, progress }) {
      const plain = await plainOf(recipe);
      const stars = get();
      const result = await bench.settle(lines, plain, { signal, progress });
      const names = neededChannels(plain);
      const whole = await bench.full(lines, names, zerosOf(plain), { signal });
      checkSizes([whole[0]!, ...stars.sources.map((source) => ({ name: 'stars', source }))]);
      const settled = { ...result.settled, stars: await stars.settled(plain.stars, { signal }) };
      const from = box ? whole : await bench.small(lines, names, zerosOf(plain), longest, { signal });
      const part = (source: PlaneSource) => (box ? crop(source, box) : source);
      const channels = preparedChannels(settled, from).map(({ name, source }) => ({ name, source: part(source) }));
      const over = (box ? stars.sources : await stars.small(longest, { signal })).map(part);
      const picture = await renderForScreen(channels, settled, signal, (mixed, numbers, form, writer, options) =>
        renderPicture(mixed, numbers, form, writer, options, over),
      );
      const numbers = { settled, warnings: result.warnings, plain, full: sizeOf(result.measured) };
      return withNumbers(numbers, picture);
    },
  };
};

/**
 * Opens a picture of the stars: one colour picture, three that stand for red, green and blue, or one without colour.
 * @throws LinewashError 'format' or 'input' naming the file
 */
const openStars = async (files: readonly StarFile[]): Promise<StarPicture> => {
  if (files.length !== 1 && files.length !== 3)
    throw inputError(`${files.length} files are given for the stars`, 'give one colour picture, or three masters');
  const bytes = files.map(({ name, blob }) => blobSource(name, blob));
  const sources =
    bytes.length === 1 ? await openColourPlanes(bytes[0]!) : await Promise.all(bytes.map((b) => openPlane(b)));
  const settled = once((key, options) => settleStars(JSON.parse(key), sources, options));
  const small = once(async (key, options): Promise<readonly PlaneSource[]> => {
    const shrunk: PlaneSource[] = [];
    for (const source of sources)
      shrunk.push(planeSource(source.file, await shrink(source, Number(key), options), source.facts));
    return shrunk;
  });
  return {
    files,
    sources,
    settled: (wish, options) => settled(JSON.stringify(wish ?? {}), options),
    small: (longest, options) => small(String(longest), options),
  };
};
