import { rmSync } from 'node:fs';
import { afterAll, describe, it } from 'vitest';
import { checkFile } from './expected.ts';
import { smallManifest, unpackSmall } from './small.ts';

describe('committed files of independent writers', () => {
  const folder = unpackSmall();
  afterAll(() => rmSync(folder, { recursive: true }));
  it.each(smallManifest.map((row) => [row.values, row] as const))('%s', async (_, row) => {
    await checkFile(folder, row);
  });
});
