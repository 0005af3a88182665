import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cyclesOf, type Graph, graphOf } from './graph.ts';
import { importsOf } from './sources.ts';

const graph = (edges: readonly (readonly [string, string])[], names: readonly string[]): Graph =>
  new Map(names.map((name) => [name, new Set(edges.filter(([from]) => from === name).map(([, to]) => to))]));

describe('the graph of imports', () => {
  it('holds every way to import', () => {
    const text = [
      "import './plain.ts';",
      "import { a } from './value.ts';",
      "import type { B } from './type.ts';",
      "import {\n  type C,\n  d,\n} from './lines.ts';",
      "export { e } from './again.ts';",
      "export * from './all.ts';",
      "export type { F } from './type-again.ts';",
      "const g = await import('./late.ts');",
      "type H = import('./inline.ts').H;",
      "new Worker(new URL('./worker.ts', import.meta.url));",
      "import { far } from 'elsewhere';",
    ].join('\n');
    const names = 'plain value type lines again all type-again late inline worker'.split(' ');
    const file = { path: 'lib/a.ts', text, imports: importsOf(text) };
    const others = names.map((name) => ({ path: `lib/${name}.ts`, text: '', imports: [] }));
    expect([...graphOf([file, ...others]).get('lib/a.ts')!]).toEqual(names.map((name) => `lib/${name}.ts`));
  });

  it('has no circle where all imports go one way', () => {
    const names = [...'abcdefgh'];
    const forward = fc
      .tuple(fc.nat(7), fc.nat(7))
      .filter(([a, b]) => a < b)
      .map(([a, b]) => [names[a]!, names[b]!] as const);
    fc.assert(
      fc.property(fc.array(forward), (edges) => {
        expect(cyclesOf(graph(edges, names))).toEqual([]);
      }),
    );
  });

  it('has a group for every circle of a drawn length', () => {
    const names = [...'abcdefgh'];
    const circle = fc.shuffledSubarray(names, { minLength: 1 });
    fc.assert(
      fc.property(circle, (files) => {
        const edges = files.map((file, i) => [file, files[(i + 1) % files.length]!] as const);
        expect(cyclesOf(graph(edges, names))).toEqual([[...files].sort()]);
      }),
    );
  });

  it('tells circles that only touch by one import apart', () => {
    const edges = [...['ab', 'ba', 'bc', 'cd', 'dc']].map(([from, to]) => [from!, to!] as const);
    expect(cyclesOf(graph(edges, [...'abcd']))).toEqual([
      ['a', 'b'],
      ['c', 'd'],
    ]);
  });
});
