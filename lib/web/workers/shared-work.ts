import type { Block } from '../../plane/block-grid.ts';
import type { LowerCounts, UpperCounts } from '../../plane/counting.ts';
import { addLower, addUpper } from '../../plane/counting.ts';
import { type Mask, uniteMasks } from '../../plane/mask.ts';
import type { Plane, PlaneSource } from '../../plane/plane.ts';
import type { Size } from '../../plane/shrink.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { blockSize } from '../../prepare/background/blocks.ts';
import type { BandFindings, BandWork } from './band-work.ts';
import { type Band, bandsOf, blockBands, maskOver, type Rows } from './bands.ts';
import { remember } from './master-work.ts';
import type { Pool } from './pool.ts';
import { countWithNeighbours } from './spare-counts.ts';
import type { MasterBytes } from './worker-service.ts';

/** What the workers work on together: a master with the pixels of `hidden` undefined, and the size of its smaller copy. */
export interface SharedMaster {
  readonly master: MasterBytes;
  readonly source: PlaneSource;
  readonly small: Size;
  readonly hidden?: Mask | undefined;
}

type Wish = Omit<BandWork, 'y' | 'rows' | 'mask'>;
type Look<B extends Rows> = (
  wish: (band: B) => Wish,
  add: (result: BandFindings, band: B) => void,
  options: StripOptions,
  mask?: Mask | undefined,
) => Promise<void>;

let works = 0;

/** From now on the pool works on this source. */
export const shareWork = (pool: Pool, shared: SharedMaster): void => {
  const { source, small, hidden } = shared;
  const look = looker(pool, shared, bandsOf(source, small, pool.size));
  const without = (mask: Mask | undefined) => (mask && hidden ? uniteMasks(mask, hidden) : (mask ?? hidden));
  const copy = copier(small);
  remember(source, {
    passes: (request, options) => {
      const { mask, pedestal } = request;
      return {
        async upper() {
          let upper: UpperCounts | undefined;
          const fresh = mask === undefined ? copy.begin() : undefined;
          const count = { pedestal, bins: [] };
          const add = (result: BandFindings, band: Band) => {
            upper = addUpper(upper, result.upper!);
            fresh?.put(result, band);
          };
          await look((band) => ({ count, ...fresh?.wish(band) }), add, options, without(mask));
          fresh?.end();
          return upper!;
        },
        lower: (bins) =>
          countWithNeighbours(request, bins, async (wanted) => {
            let lower: LowerCounts | undefined;
            const count = { pedestal, bins: wanted };
            const add = (result: BandFindings) => {
              lower = addLower(lower, result.lower!);
            };
            await look(() => ({ count }), add, options, without(mask));
            return lower!;
          }),
      };
    },
    async small(options) {
      const fresh = copy.begin();
      if (fresh !== undefined) {
        await look(fresh.wish, fresh.put, options, hidden);
        fresh.end();
      }
      return copy.made()!;
    },
    async histogram(axis, options) {
      const counts = new Uint32Array(axis.bins);
      const add = ({ histogram }: BandFindings) => {
        for (let i = 0; i < counts.length; i++) counts[i]! += histogram![i]!;
      };
      await look(() => ({ histogram: axis }), add, options, hidden);
      return counts;
    },
    async blocks({ mask, ...limits }, options) {
      const { width, height } = source;
      const size = blockSize(width, height);
      const bands = blockBands(source, size, pool.size);
      const found = bands.map((): readonly Block[] => []);
      const add = (result: BandFindings, band: Rows) => {
        found[bands.indexOf(band)] = result.blocks!;
      };
      await looker(pool, shared, bands)(() => ({ blocks: limits }), add, options, without(mask));
      return { width, height, size, blocks: found.flat() };
    },
    async pieces({ kind, question, pieces }, origins, { signal, progress }) {
      const shared = pool.pieces({ id: `pieces ${works++}`, kind, origins, question });
      let done = 0;
      const one = async (_: unknown, piece: number) => {
        const numbers = await shared.make(piece, { signal });
        progress?.(++done / pieces);
        return numbers;
      };
      try {
        return await Promise.all(Array.from({ length: pieces }, one));
      } finally {
        shared.close();
      }
    },
  });
};

/** Has bands of a master looked at. */
const looker =
  <B extends Rows>(pool: Pool, { master }: SharedMaster, bands: readonly B[]): Look<B> =>
  async (wish, add, options, mask) => {
    const done = bands.map(() => 0);
    const one = async (band: B, i: number): Promise<void> => {
      const work = { y: band.y, rows: band.rows, mask: maskOver(mask, band), ...wish(band) };
      const progress = (part: number) => {
        done[i] = part;
        options.progress?.(done.reduce((a, b) => a + b, 0) / bands.length);
      };
      add(await pool.look(master, work, { signal: options.signal, progress }), band);
    };
    await Promise.all(bands.map(one));
  };

/** Puts the smaller copy together, once. */
const copier = (small: Size) => {
  let made: Plane | undefined;
  return {
    made: () => made,
    /** Undefined where there is nothing left to do. */
    begin() {
      if (made !== undefined) return undefined;
      const fresh = { ...small, data: new Float32Array(small.width * small.height) };
      return {
        wish: ({ from, to }: Band): Wish => ({ means: { small, from, to } }),
        put: ({ means }: BandFindings, { from }: Band) => fresh.data.set(means!, from * small.width),
        end(): void {
          made ??= fresh;
        },
      };
    },
  };
};
