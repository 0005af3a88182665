import type { Together } from '../measure/together.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Suggestions } from '../recipe/suggest/suggest.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { createBench, zerosOf } from './bench.ts';
import type { Combination } from './combination.ts';
import type { Cover } from './cover.ts';
import { type Box, crop } from './crop.ts';
import type { ExportWish } from './export.ts';
import type { HoursAnswer, HoursDesk, HoursQuestion, NoiseQuestion } from './hours.ts';
import type { HoursPictures, OutlookQuestion } from './hours-pictures.ts';
import { type LineReport, reportLines } from './line-reports.ts';
import type { MarkedPicture } from './marks.ts';
import type { Lines } from './measure-lines.ts';
import { sizeOf, withNumbers } from './numbers.ts';
import { type OpenedMaster, openMaster, type Zeros } from './open-master.ts';
import { plainOf } from './plain.ts';
import type { ProbeAnswer, ProbeQuestion } from './probe.ts';
import { renderForScreen, type ScreenPicture } from './screen.ts';
import type { SheetWish } from './sheet.ts';
import type { OpenedStars, StarDesk, StarFile, StarryQuestion } from './stars.ts';
import type { SurfaceQuestion, SurfaceView } from './surface.ts';
import { inFlight } from './wire/in-flight.ts';
import type { CallContext } from './wire/rpc.ts';
import type { Pool } from './workers/pool.ts';

export type { LineReport } from './line-reports.ts';

/** A picture for the screen with the numbers behind it. */
export interface Preview extends ScreenPicture {
  /** Size of the masters. */
  readonly full: { readonly width: number; readonly height: number };
  /** The recipe with every weight a number. */
  readonly plain: Recipe;
  readonly settled: Settled;
  readonly warnings: readonly string[];
}

/** A mix at a size for the screen. */
export interface PreviewQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  readonly longest: number;
}

/** A mix to be marked: all of it at a size for the screen, or a box of the full-size masters. */
export interface MarksQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  readonly longest: number;
  readonly box?: Box | undefined;
}

/** What nobody waits for begins when no picture is under way, or after so long. */
const PATIENCE_MS = 1000;

/**
 * Everything the page asks of its worker. Lines name masters by the ids given to `open`.
 * @param pool who shares the work on large masters; the worker does it alone where there is nobody
 */
export const createService = (pool?: Pool) => {
  const bench = createBench();
  const pictures = inFlight();
  const preview = async (
    { lines, recipe, longest }: PreviewQuestion,
    { signal, progress }: CallContext,
  ): Promise<Preview> => {
    const plain = await plainOf(recipe);
    const result = await bench.settle(lines, plain, { signal, progress });
    const small = await bench.small(lines, neededChannels(plain), zerosOf(plain), longest, { signal });
    const channels = preparedChannels(result.settled, small);
    return withNumbers(
      { settled: result.settled, warnings: result.warnings, plain, full: sizeOf(result.measured) },
      await renderForScreen(channels, result.settled, signal),
    );
  };
  let desk: Promise<HoursDesk> | undefined;
  /** What plans hours is loaded when the first question comes. */
  const hoursDesk = (): Promise<HoursDesk> => {
    desk ??= import('./hours.ts').then(({ createHoursDesk }) => createHoursDesk(bench));
    return desk;
  };
  const pixelNoise = async (question: NoiseQuestion, context: CallContext): Promise<Record<string, number>> =>
    (await hoursDesk()).pixelNoise(question, context);
  let stars: Promise<StarDesk> | undefined;
  const starDesk = (): Promise<StarDesk> => {
    stars ??= import('./stars.ts').then(({ createStarDesk }) => createStarDesk(bench));
    return stars;
  };
  return {
    /** Opens a chosen file or fetches a sample; the id is then known. */
    async open({ id, name, from }: { id: string; name: string; from: Blob | string }): Promise<OpenedMaster> {
      const master = await openMaster(id, name, from, pool);
      bench.add(master);
      return master.opened;
    },
    async close({ id }: { id: string }): Promise<void> {
      bench.remove(id);
      pool?.forget(id);
    },
    /** Measures all lines at full size. */
    async measure({ lines, zeros }: { lines: Lines; zeros: Zeros }, context: CallContext): Promise<LineReport[]> {
      return reportLines(bench, lines, zeros, pictures, context);
    },
    /** The mix at a size for the screen, from numbers that were measured at full size. */
    preview: (question: PreviewQuestion, context: CallContext): Promise<Preview> =>
      pictures.add(preview(question, context)),
    /** Part of the mix, pixel for pixel from the full-size masters. */
    async detail(
      { lines, recipe, box }: { lines: Lines; recipe: WrittenRecipe; box: Box },
      { signal }: CallContext,
    ): Promise<Preview> {
      const plain = await plainOf(recipe);
      const result = await bench.settle(lines, plain, { signal });
      const full = await bench.full(lines, neededChannels(plain), zerosOf(plain), { signal });
      const channels = preparedChannels(result.settled, full);
      const parts = channels.map(({ name, source }) => ({ name, source: crop(source, box) }));
      return withNumbers(
        { settled: result.settled, warnings: result.warnings, plain, full: sizeOf(result.measured) },
        await renderForScreen(parts, result.settled, signal),
      );
    },
    /** Loads what the worker has not needed yet. */
    async loadParts(_: undefined): Promise<void> {
      await (await import('./preload.ts')).loadParts();
    },
    /** One pixel of the masters, followed through the mix. */
    async probe(question: ProbeQuestion, { signal }: CallContext): Promise<ProbeAnswer> {
      const over = question.stars ? (await starDesk()).get() : undefined;
      const noise = ({ lines, recipe }: ProbeQuestion) =>
        pixelNoise({ lines, recipe }, UNHURRIED).catch(() => undefined);
      return (await import('./probe.ts')).probePixel(bench, question, { noise, stars: () => over! }, { signal });
    },
    /** What one pixel of the background varies by, by line, in file units: as the ledger has it. */
    pixelNoise,
    /** What is out of range or undefined in the picture on screen, or in a part of the full-size masters. */
    async marks({ lines, recipe, longest, box }: MarksQuestion, { signal }: CallContext): Promise<MarkedPicture> {
      const plain = await plainOf(recipe);
      const { settled } = await bench.settle(lines, plain, { signal });
      const names = neededChannels(plain);
      const from = await (box
        ? bench.full(lines, names, zerosOf(plain), { signal })
        : bench.small(lines, names, zerosOf(plain), longest, { signal }));
      const channels = preparedChannels(settled, from);
      const parts = channels.map(({ name, source }) => ({ name, source: box ? crop(source, box) : source }));
      return (await import('./marks.ts')).markPicture(parts, settled, signal);
    },
    /** Mixes computed from the masters themselves. */
    async suggest({ lines }: { lines: Lines }, context: CallContext): Promise<Suggestions> {
      return (await import('./suggest.ts')).suggestFor(bench, lines, context);
    },
    /** Opens a picture of the stars in the place of the one before. */
    async openStars({ files }: { files: readonly StarFile[] }): Promise<OpenedStars> {
      return (await starDesk()).open(files);
    },
    /** As `preview`, or `detail` where a box is given, with the stars laid over. */
    async starry(question: StarryQuestion, context: CallContext): Promise<Preview> {
      return (await starDesk()).render(question, context);
    },
    /** Whether a file holds a picture in colour, which is no master. */
    async isColour(file: StarFile): Promise<boolean> {
      return (await import('./stars.ts')).isColour(file);
    },
    /** Mixes side by side as one picture. */
    async sheet(wish: SheetWish, context: CallContext): Promise<Blob> {
      const over = wish.stars ? (await starDesk()).get() : undefined;
      return (await import('./sheet.ts')).drawSheet(bench, wish, context, over);
    },
    /** How the masters of lines that have several are combined. */
    async combinations({ lines }: { lines: Lines }, context: CallContext): Promise<Combination[]> {
      return (await import('./combination.ts')).combinationsOf(bench, lines, context);
    },
    /** What the mix would be cropped to. */
    async cover(mix: { lines: Lines; recipe: WrittenRecipe }, context: CallContext): Promise<Cover> {
      return (await import('./cover.ts')).coverOf(bench, mix, context);
    },
    /** The background surface of one line, to be looked at. */
    async surface(question: SurfaceQuestion, context: CallContext): Promise<SurfaceView> {
      return (await import('./surface.ts')).surfaceView(bench, question, context);
    },
    /** The lines that hold almost nothing but noise. */
    async weak({ lines }: { lines: Lines }, context: CallContext): Promise<string[]> {
      await pictures.calm(PATIENCE_MS);
      return (await import('./suggest.ts')).weakFor(bench, lines, context);
    },
    /** Whether the masters belong together, in words where they do not. */
    async fit({ lines }: { lines: Lines }, context: CallContext): Promise<Together> {
      await pictures.calm(PATIENCE_MS);
      return (await import('./fit.ts')).fitOf(bench, lines, context);
    },
    /** What the mix costs in noise, and where the next hours do most good. */
    async hours(question: HoursQuestion, context: CallContext): Promise<HoursAnswer> {
      return (await hoursDesk()).answer(question, context);
    },
    /** What more hours are worth, in a part of the picture. */
    async outlook(question: OutlookQuestion, context: CallContext): Promise<HoursPictures> {
      return (await hoursDesk()).outlook(question, context);
    },
    /** The full-size picture as a file: into the handle if one is given, else as a Blob. */
    async export(wish: ExportWish, context: CallContext): Promise<Blob | undefined> {
      // Writers are loaded when the first picture is saved.
      const over = wish.stars ? (await starDesk()).get() : undefined;
      return (await import('./export.ts')).exportPicture(bench, wish, context, over, pool);
    },
  };
};

/** For what is found once and kept, whether or not whoever asked first still wants it. */
const UNHURRIED: CallContext = { signal: new AbortController().signal, progress: () => {} };

export type RenderService = ReturnType<typeof createService>;
