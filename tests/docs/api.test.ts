import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import * as verbs from '../../lib/node/index.ts';
import * as parts from '../../lib/node/parts/index.ts';
import { inTurn } from '../cases.ts';
import { pages } from '../tools/docs-api.mjs';

const root = fileURLToPath(new URL('../../', import.meta.url));

it.skipIf(!inTurn('what typedoc'))(
  'docs/api.md is what typedoc reads in the library, without a warning',
  { timeout: 120_000 },
  async () => {
    // Throws where a public name has no docstring, or speaks of a type that is not public.
    const [{ path, content }] = await pages({ root });
    expect(readFileSync(`${root}${path}`, 'utf8'), 'npm run docs -- api').toBe(content);
  },
);

it('docs/api.md names all that can be imported', () => {
  const page = readFileSync(`${root}docs/api.md`, 'utf8');
  const names = [...Object.keys(verbs), ...Object.keys(parts)];
  expect(names.length).toBeGreaterThan(50);
  expect(names.filter((name) => !page.includes(`\n### ${name}\n`))).toEqual([]);
});
