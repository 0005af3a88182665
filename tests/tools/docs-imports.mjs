// The diagram in DEVELOPERS.md of which folder of the library imports which.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

export const pages = async ({ load, root }) => {
  const { withDiagram } = await load('/tests/architecture/diagram.ts');
  const { sourcesBelow } = await load('/tests/architecture/sources.ts');
  const path = 'DEVELOPERS.md';
  return [{ path, content: withDiagram(readFileSync(join(root, path), 'utf8'), sourcesBelow('lib')) }];
};
