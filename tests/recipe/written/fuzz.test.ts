import { describe, it } from 'vitest';
import { mutate, seededRandom } from '../../fuzz/mutate.ts';
import { recipeTargets } from '../../fuzz/recipe.ts';

const COUNT = 5000;

describe('mutated input gives a result or an error of ours', () => {
  it.each(recipeTargets.map((target) => [target.name, target] as const))('%s', async (name, target) => {
    for (let seed = 1; seed <= COUNT; seed++) {
      const random = seededRandom(seed);
      const input = mutate(target.seeds[Math.floor(random() * target.seeds.length)]!, random);
      try {
        await target.run(input);
      } catch (cause) {
        throw new Error(`${name}, seed ${seed}: ${JSON.stringify(new TextDecoder().decode(input))}`, { cause });
      }
    }
  });
});
