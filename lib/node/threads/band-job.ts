import { openPlan, type PicturePlan } from '../../render/picture-plan.ts';
import { type BandTarget, openTarget } from './band-target.ts';
import { openedFiles } from './opened-files.ts';

/** A picture to be computed band by band, in any order, by any number of threads. Plain data. */
export interface BandJob {
  readonly plan: PicturePlan;
  /** Rows of a band; the last may have fewer. */
  readonly rows: number;
  readonly target: BandTarget;
}

/** One thread's share in a picture: files open, a kernel with its own memory. */
export const createBandJobRunner = async ({ plan, rows: most, target }: BandJob, goesOn: () => boolean) => {
  const { width, height, form } = plan;
  const files = openedFiles();
  const opened: { close(): unknown }[] = [files];
  const close = () => {
    for (const one of opened.splice(0)) void one.close();
  };
  try {
    const output = await openTarget(target, { width, height, form }, goesOn);
    opened.push(output);
    const runner = await openPlan(plan, Math.min(most + output.above, height), files);
    opened.push(runner);
    return {
      async run(band: number): Promise<void> {
        const y = band * most;
        const rows = Math.min(most, height - y);
        const above = y === 0 ? 0 : output.above;
        const pixels = await runner.run(y - above, rows + above);
        const put = output.put(pixels, band, { y, rows, above });
        if (put) await put;
      },
      close,
    };
  } catch (cause) {
    close();
    throw cause;
  }
};
