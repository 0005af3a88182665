import type { PlaneSource } from '../../plane/plane.ts';
import { openSource } from '../bytes/open-source.ts';
import { breathe, type CallContext, handOver } from '../wire/rpc.ts';
import type { BandFindings, BandWork } from './band-work.ts';
import type { Band, MadeBand, SharedPlan } from './plan-bands.ts';
import type { SharedPieces } from './shared-pieces.ts';

/** A master as any worker can open it. */
export interface MasterBytes {
  readonly id: string;
  readonly file: string;
  readonly blob: Blob;
}

/** What a helping worker serves: shares of the work on masters, which it opens itself, bands of pictures, and other work in pieces. */
export const createHelper = () => {
  const opened = new Map<string, Promise<PlaneSource>>();
  const sourceOf = ({ id, file, blob }: MasterBytes): Promise<PlaneSource> => {
    const source = opened.get(id) ?? openSource(file, blob);
    opened.set(id, source);
    source.catch(() => opened.delete(id));
    return source;
  };
  let plans: ReturnType<typeof import('./plan-bands.ts').createPlans> | undefined;
  let pieces: ReturnType<typeof import('./shared-pieces.ts').createPieces> | undefined;
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
    /** Takes work whose pieces will be asked for. */
    async openPieces(shared: SharedPieces): Promise<void> {
      pieces ??= (await import('./shared-pieces.ts')).createPieces();
      pieces.open(shared);
    },
    async doPiece({ id, piece }: { id: string; piece: number }): Promise<Float32Array<ArrayBuffer>> {
      await breathe();
      const numbers = await pieces!.make(id, piece);
      return handOver(numbers, [numbers.buffer]);
    },
    async closePieces({ id }: { id: string }): Promise<void> {
      pieces?.close(id);
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
