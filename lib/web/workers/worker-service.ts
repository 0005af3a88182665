import type { PlaneSource } from '../../plane/plane.ts';
import { openSource } from '../bytes/open-source.ts';
import { breathe, type CallContext, handOver } from '../wire/rpc.ts';
import type { BandFindings, BandWork } from './band-work.ts';
import type { Band, MadeBand, SharedPlan } from './plan-bands.ts';

/** A master as any worker can open it. */
export interface MasterBytes {
  readonly id: string;
  readonly file: string;
  readonly blob: Blob;
}

/** What a helping worker serves: shares of the work on masters, which it opens itself, and bands of pictures. */
export const createHelper = () => {
  const opened = new Map<string, Promise<PlaneSource>>();
  const sourceOf = ({ id, file, blob }: MasterBytes): Promise<PlaneSource> => {
    const source = opened.get(id) ?? openSource(file, blob);
    opened.set(id, source);
    source.catch(() => opened.delete(id));
    return source;
  };
  let plans: ReturnType<typeof import('./plan-bands.ts').createPlans> | undefined;
  return {
    /** Takes the plan of a picture whose bands will be asked for. */
    async openPlan(shared: SharedPlan): Promise<void> {
      plans ??= (await import('./plan-bands.ts')).createPlans();
      plans.open(shared);
    },
    async makeBand({ id, band }: { id: string; band: Band }): Promise<MadeBand> {
      // A band that was called off while it waited is not begun.
      await breathe();
      const { bandBuffers } = await import('./plan-bands.ts');
      const made = await plans!.make(id, band);
      return handOver(made, bandBuffers(made));
    },
    async closePlan({ id }: { id: string }): Promise<void> {
      plans?.close(id);
    },
    async look(
      { master, work }: { master: MasterBytes; work: BandWork },
      { signal, progress }: CallContext,
    ): Promise<BandFindings> {
      // Work that was called off while it waited is not begun.
      await breathe();
      // Loaded with the first large master.
      const { buffersOf, lookAtBand } = await import('./band-work.ts');
      const result = await lookAtBand(await sourceOf(master), work, master.blob, { signal, progress });
      return handOver(result, buffersOf(result));
    },
    async forget({ id }: { id: string }): Promise<void> {
      opened.delete(id);
    },
  };
};

export type Helper = ReturnType<typeof createHelper>;
