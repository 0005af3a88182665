import { describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { describeRecipe } from '../../../lib/recipe/share/describe.ts';
import { withKnobs } from '../../../lib/recipe/written/knobs.ts';
import golden from '../../golden/plane/svd.json' with { type: 'json' };
import { SHO } from '../written/fault.ts';

describe('what a recipe says about itself', () => {
  it('is its colours, in the trade’s known hues', async () => {
    const hoo = await describeRecipe(catalogueRecipe('hoo'));
    // Common practice: pure H red (0°), pure O teal (180°).
    expect(hoo.lines.map(({ name, hue, hex }) => [name, hue, hex])).toEqual([
      ['H', 0, '#ff0000'],
      ['O', 180, '#00ffff'],
    ]);
    expect(hoo.hueOrder).toEqual(['H', 'O']);
    expect(hoo.rowSums).toEqual([1, 1, 1]);
    expect(hoo.rank).toBe(2);
    expect(hoo.name).toBe('HOO');
    expect(hoo.licence).toBe('CC0-1.0');
  });

  it('is rank and condition of the balanced matrix, as numpy finds them', async () => {
    const ember = await describeRecipe(catalogueRecipe('ember'));
    // numpy.linalg.cond of [[0,1,0],[.25,0,.75],[0,0,1]].
    expect(ember.condition).toBeCloseTo(6.342329219213244, 12);
    expect(ember.rank).toBe(3);
    const lost = await describeRecipe({ matrix: [SHO[1]!, SHO[2]!, SHO[2]!] });
    expect([lost.rank, lost.condition]).toEqual([2, null]);
    expect(JSON.parse(JSON.stringify(lost)).condition).toBeNull();
  });

  it('is which lines cannot be told apart, and for whom', async () => {
    const natural = await describeRecipe(catalogueRecipe('natural'));
    expect(natural.confusable.filter(({ viewer }) => viewer === 'all').map(({ lines }) => lines)).toEqual([['S', 'H']]);
    const plain = await describeRecipe(catalogueRecipe('plainsight'));
    expect(plain.confusable).toEqual([]);
    // Red and green of equal lightness for one without long-wave cones.
    const redGreen = await describeRecipe({ lines: { S: '#b04020', H: '#607020' } });
    expect(redGreen.confusable.map(({ viewer }) => viewer)).toContain('protan');
    expect(redGreen.confusable.map(({ viewer }) => viewer)).not.toContain('all');
  });

  it('has every pair of lines once for each kind of viewer', async () => {
    const { separations } = await describeRecipe(catalogueRecipe('quartet'));
    expect(separations).toHaveLength(6 * 4);
    for (const pair of separations) {
      expect(pair.lines[0]).not.toBe(pair.lines[1]);
      expect(pair.ciede2000).toBeGreaterThan(0);
      expect(pair.deltaEok).toBeGreaterThan(0);
    }
  });

  it('is the share of mixes that leave the screen', async () => {
    const { outOfGamut } = await describeRecipe({
      matrix: [
        [1, 1],
        [1, 1],
        [1, 1],
      ],
      channels: ['H', 'O'],
    });
    // The sum of two uniform values is above 1 in half of all cases.
    expect(outOfGamut).toBeCloseTo(0.5, 2);
    expect((await describeRecipe({ matrix: SHO })).outOfGamut).toBe(0);
  });

  it('follows the knobs', async () => {
    const kiln = catalogueRecipe('kiln');
    expect((await describeRecipe(kiln)).knobs).toEqual([
      { name: 'share', value: 0.35, min: 0, max: 1, about: 'share of S in green' },
    ]);
    const turned = await describeRecipe(withKnobs(kiln, { share: 0.5 }));
    expect(turned.knobs[0]!.value).toBe(0.5);
    expect(turned.matrix).toEqual([
      [0, 1, 0],
      [0.5, 0, 0.5],
      [0, 0, 1],
    ]);
    expect(turned.lines.map(({ weights }) => weights)).toEqual([
      [0, 0.5, 0],
      [1, 0, 0],
      [0, 0.5, 1],
    ]);
  });

  it('says where a colour lies beyond the screen', async () => {
    const { lines } = await describeRecipe({
      matrix: [
        [1.5, 0],
        [0, 1],
        [-0.2, 0],
      ],
      channels: ['H', 'O'],
    });
    expect(lines.map(({ outside }) => outside)).toEqual([true, false]);
  });

  const fitting = golden.matrices.filter(
    ({ matrix }) => matrix.length === 3 && matrix.flat().every((w) => Math.abs(w) <= 1000),
  );

  it.each(fitting)('has the rank and condition that numpy finds: $name', async ({ matrix, rank, condition }) => {
    const found = await describeRecipe({ matrix, channels: matrix[0]!.map((_, i) => `L${i}`) });
    expect(found.rank).toBe(rank);
    if (typeof condition === 'number' && condition < 1e15) expect(found.condition! / condition).toBeCloseTo(1, 8);
    else expect(found.condition).toBeNull();
  });
});
