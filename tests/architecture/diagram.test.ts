import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { foldersOf, importDiagram, withDiagram, withoutShortcuts } from './diagram.ts';
import { reachedFrom } from './graph.ts';
import { importsOf, ROOT, type SourceFile, sourcesBelow } from './sources.ts';

const file = (path: string, text = ''): SourceFile => ({ path, text, imports: importsOf(text) });
const page = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8');
const lib = sourcesBelow('lib');

describe('the diagram of imports', () => {
  it('in DEVELOPERS.md is the one of the sources: else run npm run docs -- imports', () => {
    expect(page).toBe(withDiagram(page, lib));
  });

  it('changes with an import between folders that had none', () => {
    const more = [...lib, file('lib/plane/new.ts', "import type { A } from '../cli/new.ts';")];
    expect(withDiagram(page, more)).not.toBe(page);
  });

  it('shows folders, not files, and no arrow that others imply', () => {
    const files = [
      file('lib/a/x.ts', "import './y.ts';\nimport '../b/x.ts';\nimport '../c/x.ts';\nimport 'package';"),
      file('lib/b/deep/x.ts', "import type { X } from '../../c/x.ts';"),
      file('lib/index.ts', "export * from './a/x.ts';"),
      file('lib/c/x.ts'),
    ];
    expect(importDiagram(files)).toBe('```mermaid\nflowchart TD\n  a --> b\n  b --> c\n```');
  });

  it('leaves out no folder that another one reaches', () => {
    const all = foldersOf(lib);
    const drawn = withoutShortcuts(all);
    for (const folder of all.keys()) expect(reachedFrom(drawn, folder)).toEqual(reachedFrom(all, folder));
  });

  it('needs its marks', () => {
    expect(() => withDiagram('# A page', lib)).toThrow('no place for the diagram');
  });
});
