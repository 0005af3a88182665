import { describe, expect, it } from 'vitest';
import { fitsTargets } from '../../fuzz/fits.ts';
import { mutate, seededRandom } from '../../fuzz/mutate.ts';
import { processorTime } from '../../processor-time.ts';

const RUNS: Readonly<Record<string, number>> = {
  'FITS header': 8000,
  'WCS cards': 2000,
  'FITS file': 4000,
  'RICE_1 tile': 2000,
  'gzip tile': 2000,
};
const MEGABYTE = 2 ** 20;

describe('mutated FITS bytes end in a LinewashError or in pixels, quickly and in little memory', () => {
  it.each(fitsTargets.map((target) => [target.name, target] as const))('%s', async (name, target) => {
    const random = seededRandom(1);
    const before = process.memoryUsage().arrayBuffers;
    for (let run = 0; run < RUNS[name]!; run++) {
      const bytes = mutate(target.seeds[run % target.seeds.length]!, random);
      const start = processorTime();
      await target.run(bytes).catch((error: unknown) => {
        throw new Error(`run ${run}: ${error instanceof Error ? error.stack : error}`);
      });
      expect(processorTime() - start).toBeLessThan(1000);
      if (process.memoryUsage().arrayBuffers - before > 200 * MEGABYTE) throw new Error(`run ${run} takes much memory`);
    }
  });
});
