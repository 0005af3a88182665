import { describe, expect, it } from 'vitest';
import { graphOf, reachedFrom } from './graph.ts';
import { type SourceFile, sourcesBelow, target } from './sources.ts';

const files = [...sourcesBelow('lib'), ...sourcesBelow('playground')];
const fileAt = (path: string) => files.find((file) => file.path === path)!;

const spelt = (file: SourceFile, spelling: RegExp): string[] =>
  [...file.text.matchAll(spelling)].map(([, found]) => target(file, found!));

/** What a file loads when it is first needed. */
const lateOf = (file: SourceFile): string[] => spelt(file, /(?<!typeof )\bimport\(\s*'(\.[^']+)'\s*\)/g);

/** What comes with a file; types come with none. */
const AT_ONCE = /^\s*(?:import|export)\s(?!type\b)(?:[^'";]*?\sfrom\s*)?'(\.[^']+)'/gm;
const atOnce = new Map(files.map((file) => [file.path, new Set(spelt(file, AT_ONCE))]));
const withAll = (paths: readonly string[]) => new Set(paths.flatMap((path) => [path, ...reachedFrom(atOnce, path)]));

describe('what is loaded late', () => {
  it.each([
    ['the worker', 'lib/web/render-worker.ts', 'lib/web/preload.ts'],
    ['the page', 'playground/main.ts', 'playground/state/load-rest.ts'],
  ])('is loaded by %s at rest, so that it works without its server', (_, start, preload) => {
    const own = start.split('/')[0];
    const reached = [...reachedFrom(graphOf(files), start)].filter((path) => path.startsWith(`${own}/`));
    const late = reached.flatMap((path) => lateOf(fileAt(path))).filter((path) => path !== preload);
    expect(late.length).toBeGreaterThan(10);
    const loaded = withAll([start, ...lateOf(fileAt(preload))]);
    expect([...new Set(late)].filter((path) => !loaded.has(path))).toEqual([]);
  });
});
