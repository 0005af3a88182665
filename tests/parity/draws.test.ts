import { describe, expect, it } from 'vitest';
import { GAMUT_NAMES } from '../../lib/colour/gamut.ts';
import { MAPPED } from './draws/gamut-methods.ts';
import { runSeries } from './draws/series.ts';

/** Seeds of the first draws; a few at a time, so that what is wrong is known by its part. */
const COUNT = 300;
const PART = 50;
const PARTS = Array.from({ length: COUNT / PART }, (_, i) => 1 + i * PART);

describe('any picture is what its settled numbers say', () => {
  it('has a second writing of every gamut method', () => {
    expect(GAMUT_NAMES.filter((name) => !MAPPED.includes(name))).toEqual([]);
  });

  // `npm run parity -- 1 SEED` runs one draw alone; `npm run parity -- 20000` runs many.
  it.each(PARTS)(`in draws of recipes, masters and forms of pictures: ${PART} from seed %i on`, async (first) => {
    const { compared, failures } = await runSeries(first, PART);
    expect(failures.join('\n\n')).toBe('');
    expect(compared).toBeGreaterThan((2 / 3) * PART);
  });
});
