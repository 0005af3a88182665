import { describe, expect, it } from 'vitest';
import { GAMUT_NAMES } from '../../lib/colour/gamut.ts';
import { MAPPED } from './draws/gamut-methods.ts';
import { runSeries } from './draws/series.ts';

describe('any picture is what its settled numbers say', () => {
  it('has a second writing of every gamut method', () => {
    expect(GAMUT_NAMES.filter((name) => !MAPPED.includes(name))).toEqual([]);
  });

  // `npm run parity -- 1 SEED` runs one draw alone; `npm run parity -- 20000` runs many.
  it('in 300 draws of recipes, masters and forms of pictures', async () => {
    const { compared, failures } = await runSeries(1, 300);
    expect(failures.join('\n\n')).toBe('');
    expect(compared).toBeGreaterThan(200);
  });
});
