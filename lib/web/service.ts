import type { Defect } from '../check/defects.ts';
import type { Together } from '../measure/together.ts';
import { inputError } from '../plane/errors.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { rememberingSmoother } from '../smooth/remembered.ts';
import type { Tally } from '../tally/tally.ts';
import type { Cover } from '../work/cover.ts';
import type { HeldLines } from '../work/hold.ts';
import type { MarkedPicture } from '../work/marks.ts';
import type { Zeros } from '../work/open-lines.ts';
import type { ProbeAnswer } from '../work/probe.ts';
import type { SuggestedMixes, SuggestWish } from '../work/suggest.ts';
import { createBench } from './bench.ts';
import type { Combination } from './combination.ts';
import type { ExportWish } from './export.ts';
import type { FaintQuestion, FaintView } from './faint.ts';
import type { HoldQuestion } from './hold.ts';
import type { HoursAnswer, HoursDesk, HoursQuestion, OutlookQuestion } from './hours.ts';
import type { HoursPictures } from './hours-pictures.ts';
import { type LineReport, reportLines } from './line-reports.ts';
import type { Lines } from './measure-lines.ts';
import type { NoiseQuestion } from './noise-question.ts';
import { type OpenedMaster, openMaster } from './open-master.ts';
import { plainOf } from './plain.ts';
import { type PartQuestion, type Preview, type PreviewQuestion, previewOf } from './preview.ts';
import type { ProbeQuestion } from './probe.ts';
import type { RejectedPixels } from './rejected.ts';
import type { SeasonAnswer, SeasonQuestion } from './season.ts';
import type { SheetQuestion } from './sheet.ts';
import type { TargetSheetQuestion } from './sheet-of-targets.ts';
import type { ListedStars, StarListQuestion } from './star-list.ts';
import type { OpenedStars, StarFile, StarPicture } from './stars.ts';
import type { SurfaceQuestion, SurfaceView } from './surface.ts';
import type { TallyQuestion } from './tally.ts';
import { inFlight } from './wire/in-flight.ts';
import type { CallContext } from './wire/rpc.ts';
import { poolExecutor } from './workers/master-work.ts';
import type { Pool } from './workers/pool.ts';

export type { LineReport } from './line-reports.ts';

/** Lines, and which of their spots are filled before mixes are computed. */
type SuggestQuestion = SuggestWish & { readonly lines: Lines };

/** What nobody waits for begins when no picture is under way, or after so long. */
const PATIENCE_MS = 1000;

/**
 * Everything the page asks of its worker. Lines name masters by the ids given to `open`. What the first picture does not
 * need is loaded when it is first asked for.
 * @param pool who shares the work on large masters; the worker does it alone where there is nobody
 */
export const createService = (pool?: Pool) => {
  const bench = createBench();
  const pictures = inFlight();
  let open: StarPicture | undefined;
  /** The open picture of the stars, where a question is about it. @throws LinewashError 'input' where there is none. */
  const starsFor = ({ stars = false }: { readonly stars?: boolean | undefined }): StarPicture | undefined => {
    if (stars && open === undefined) throw inputError('no picture of the stars is open', 'open it again');
    return stars ? open : undefined;
  };
  let desk: Promise<HoursDesk> | undefined;
  const hoursDesk = (): Promise<HoursDesk> => {
    desk ??= import('./hours.ts').then(({ createHoursDesk }) => createHoursDesk(bench));
    return desk;
  };
  const pixelNoise = async (question: NoiseQuestion, context: CallContext): Promise<Record<string, number>> =>
    (await hoursDesk()).pixelNoise(question, context);
  const remembering = rememberingSmoother();
  const preview = async (question: PreviewQuestion, context: CallContext): Promise<Preview> => {
    const smoother = (pixels: string) => remembering(JSON.stringify([question.lines, pixels]));
    return previewOf(bench.lines(question.lines), question, starsFor(question), { ...context, smoother });
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
    /** The mix at a size for the screen, or a part of it pixel for pixel, from numbers that were measured at full size. */
    preview: (question: PreviewQuestion, context: CallContext): Promise<Preview> =>
      pictures.add(preview(question, context)),
    /** Loads what the worker has not needed yet. */
    async loadParts(_: undefined): Promise<void> {
      await (await import('./preload.ts')).loadParts();
    },
    /** One pixel of the masters, followed through the mix. */
    async probe(question: ProbeQuestion, { signal }: CallContext): Promise<ProbeAnswer> {
      const { lines, recipe } = question;
      const noise = () => pixelNoise({ lines, recipe }, UNHURRIED).catch(() => undefined);
      const stars = starsFor(question);
      return (await import('./probe.ts')).probeOf(bench.lines(lines), question, { noise, stars }, { signal });
    },
    /** What one pixel of the background varies by, by line, in file units: as the ledger has it. */
    pixelNoise,
    /** What is out of range or undefined in the picture on screen, or in a part of the full-size masters. */
    async marks(question: PartQuestion, context: CallContext): Promise<MarkedPicture> {
      return (await import('./marks.ts')).marksOf(bench.lines(question.lines), question, context);
    },
    /** Mixes computed from the masters themselves. */
    async suggest({ lines, spots }: SuggestQuestion, { signal, progress }: CallContext): Promise<SuggestedMixes> {
      return (await import('../work/suggest.ts')).suggestLines(bench.lines(lines), { spots, signal, progress });
    },
    /** Weights that change least and give places of the picture their colours. */
    async hold(question: HoldQuestion, { signal, progress }: CallContext): Promise<HeldLines> {
      const survey = (await hoursDesk()).surveying(question.lines, question.recipe);
      const options = { signal, surveying: progress, survey };
      return (await import('./hold.ts')).holdOf(bench.lines(question.lines), question, options);
    },
    /** The stars in the masters: where they are, how bright, and of what shape. */
    async stars(question: StarListQuestion, context: CallContext): Promise<ListedStars> {
      return (await import('./star-list.ts')).starListOf(bench.lines(question.lines), question, context);
    },
    /** Opens a picture of the stars in the place of the one before, which stays where the new one does not fit the lines. */
    async openStars({ files, lines = {} }: { files: readonly StarFile[]; lines?: Lines }): Promise<OpenedStars> {
      open = await (await import('./stars.ts')).openStars(files, bench.lines(lines));
      const { width, height, warnings } = open.sources[0]!;
      return { width, height, warnings };
    },
    /** Whether a file holds a picture in colour, which is no master. */
    async isColour(file: StarFile): Promise<boolean> {
      return (await import('./stars.ts')).isColour(file);
    },
    /** Mixes side by side as one picture. */
    async sheet(question: SheetQuestion, context: CallContext): Promise<Blob> {
      const stars = starsFor(question);
      return (await import('./sheet.ts')).sheetOf(bench.lines(question.lines), question, stars, context);
    },
    /** Targets and mixes side by side as one picture. */
    async targetSheet({ targets, ...question }: TargetSheetQuestion, context: CallContext): Promise<Blob> {
      const rows = targets.map(({ name, lines }) => ({ name, lines: bench.lines(lines) }));
      return (await import('./sheet-of-targets.ts')).sheetOfTargets(rows, question, context);
    },
    /** How the masters of lines that have several are combined. */
    async combinations({ lines }: { lines: Lines }, context: CallContext): Promise<Combination[]> {
      return (await import('./combination.ts')).combinationsOf(bench, lines, context);
    },
    /** What combining left out of each master, pixel by pixel. */
    async rejected({ lines }: { lines: Lines }, context: CallContext): Promise<readonly RejectedPixels[]> {
      return (await import('./rejected.ts')).rejectedOf(bench, lines, context);
    },
    /** What the mix would be cropped to. */
    async cover({ lines, recipe }: { lines: Lines; recipe: WrittenRecipe }, { signal }: CallContext): Promise<Cover> {
      return (await import('../work/cover.ts')).coverOf(bench.lines(lines), await plainOf(recipe), { signal });
    },
    /** The background surface of one line, to be looked at. */
    async surface(question: SurfaceQuestion, context: CallContext): Promise<SurfaceView> {
      return (await import('./surface.ts')).surfaceView(bench.lines(question.lines), question, context);
    },
    /** The lines that hold almost nothing but noise. */
    async weak({ lines }: { lines: Lines }, { signal, progress }: CallContext): Promise<string[]> {
      await pictures.calm(PATIENCE_MS);
      return (await import('../work/suggest.ts')).weakOf(bench.lines(lines), { signal, progress });
    },
    /** Whether the masters belong together, in words where they do not. */
    async fit({ lines }: { lines: Lines }, context: CallContext): Promise<Together> {
      await pictures.calm(PATIENCE_MS);
      return (await import('./fit.ts')).fitOf(bench, lines, context);
    },
    /** What one master has and the sky has not: trails, columns, rows, seams, spots. */
    async defects({ lines }: { lines: Lines }, { signal, progress }: CallContext): Promise<readonly Defect[]> {
      const channels = await bench.lines(lines).full(Object.keys(lines), 'undefined', { signal });
      const options = { signal, progress };
      const { defectsOf } = await import('../work/check.ts');
      return defectsOf(channels, { ...options, executor: poolExecutor(options) });
    },
    /** What stands out of the noise of one line, and when it will show. */
    async faint(question: FaintQuestion, context: CallContext): Promise<FaintView> {
      return (await import('./faint.ts')).faintView(bench, question, context);
    },
    /** How many subs and hours each target has among these files. */
    async tally({ files, filters }: TallyQuestion, context: CallContext): Promise<Tally> {
      return (await import('./tally.ts')).tallyBlobs(files, context, filters);
    },
    /** What the mix costs in noise, and where the next hours do most good. */
    async hours(question: HoursQuestion, context: CallContext): Promise<HoursAnswer> {
      return (await hoursDesk()).answer(question, context);
    },
    /** Which hours of which nights go to which lines of which targets. */
    async season(question: SeasonQuestion, context: CallContext): Promise<SeasonAnswer> {
      return (await hoursDesk()).season(question, context);
    },
    /** What more hours are worth, in a part of the picture. */
    async outlook(question: OutlookQuestion, context: CallContext): Promise<HoursPictures> {
      return (await hoursDesk()).outlook(question, context);
    },
    /** The full-size picture as a file: into the handle if one is given, else as a Blob. */
    async export(wish: ExportWish, context: CallContext): Promise<Blob | undefined> {
      const stars = starsFor(wish);
      return (await import('./export.ts')).exportPicture(bench, wish, context, stars, pool);
    },
  };
};

/** For what is found once and kept, whether or not whoever asked first still wants it. */
const UNHURRIED: CallContext = { signal: new AbortController().signal, progress: () => {} };

export type RenderService = ReturnType<typeof createService>;
