import { describe, expect, it } from 'vitest';
import * as api from '../../lib/index.ts';
import * as nodeApi from '../../lib/node/index.ts';
import * as nodeSurface from '../../lib/node/surface.ts';
import * as surface from '../../lib/surface.ts';

// Adding a name here is a promise to keep it; removing one breaks somebody's script.
describe('the public API', () => {
  it('on every platform', () => {
    expect(Object.keys(api).sort()).toMatchSnapshot();
  });

  it('on Node besides', () => {
    const common = new Set(Object.keys(api));
    expect(
      Object.keys(nodeApi)
        .filter((name) => !common.has(name))
        .sort(),
    ).toMatchSnapshot();
  });

  it('is what its types show, each function with a look at its arguments', () => {
    for (const [run, shown] of [
      [api, surface],
      [nodeApi, nodeSurface],
    ] as [Record<string, unknown>, Record<string, unknown>][]) {
      expect(Object.keys(run).sort()).toEqual(Object.keys(shown).sort());
      const same = Object.keys(run).filter((name) => typeof run[name] === 'function' && run[name] === shown[name]);
      expect(same.sort()).toEqual(['LinewashError', 'checkedRecipe', 'memorySink']);
    }
  });
});
