import { describe, expect, it } from 'vitest';
import * as api from '../../lib/index.ts';
import * as nodeApi from '../../lib/node/index.ts';

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
});
