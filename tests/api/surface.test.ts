import { describe, expect, it } from 'vitest';
import * as verbs from '../../lib/index.ts';
import * as nodeVerbs from '../../lib/node/index.ts';
import * as nodeParts from '../../lib/node/parts/index.ts';
import * as nodePartsSurface from '../../lib/node/parts/surface.ts';
import * as nodeSurface from '../../lib/node/surface.ts';
import * as parts from '../../lib/parts/index.ts';
import * as partsSurface from '../../lib/parts/surface.ts';
import * as surface from '../../lib/surface.ts';

const namesOf = (entry: object) => Object.keys(entry).sort();
const besides = (all: object, common: object) => namesOf(all).filter((name) => !(name in common));

// Adding a name here is a promise to keep it; removing one breaks somebody's script.
describe('the public API', () => {
  it('is a handful of verbs', () => {
    expect(namesOf(verbs)).toMatchSnapshot('where there are no files');
    expect(besides(nodeVerbs, verbs)).toMatchSnapshot('on Node besides');
  });

  it('and the parts that these are made of', () => {
    expect(namesOf(parts)).toMatchSnapshot('where there are no files');
    expect(besides(nodeParts, parts)).toMatchSnapshot('on Node besides');
  });

  it('has each name in one place', () => {
    expect(namesOf(nodeVerbs).filter((name) => name in nodeParts)).toEqual([]);
    expect(besides(verbs, nodeVerbs)).toEqual([]);
    expect(besides(parts, nodeParts)).toEqual([]);
  });

  it('is what its types show, each function with a look at its arguments', () => {
    for (const [run, shown, unchecked] of [
      [verbs, surface, ['LinewashError']],
      [nodeVerbs, nodeSurface, ['LinewashError']],
      [parts, partsSurface, ['checkedRecipe', 'memorySink']],
      [nodeParts, nodePartsSurface, ['checkedRecipe', 'memorySink']],
    ] as [Record<string, unknown>, Record<string, unknown>, string[]][]) {
      expect(namesOf(run)).toEqual(namesOf(shown));
      const same = namesOf(run).filter((name) => typeof run[name] === 'function' && run[name] === shown[name]);
      expect(same).toEqual(unchecked);
    }
  });
});
