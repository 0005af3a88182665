import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { tallyFiles } from '../../lib/node/tally-files.ts';
import { tallyBlobs } from '../../lib/web/tally.ts';
import { drawSeason, writeSeason } from '../tally/season.ts';

const { files } = drawSeason(7, 160);
const dropped = [...files].map(([path, bytes]) => ({
  path: `season/${path}`,
  file: new Blob([bytes as Uint8Array<ArrayBuffer>]),
}));

it('counts dropped files as the command counts them on the disk', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-test-'));
  try {
    writeSeason({ files, links: new Map() }, join(folder, 'season'));
    const shares: number[] = [];
    const signal = new AbortController().signal;
    const found = await tallyBlobs(dropped, { signal, progress: (done) => shares.push(done) });
    const onDisk = await tallyFiles({ folders: [join(folder, 'season')] });
    const shown = <T extends { file: string }>(some: readonly T[]) =>
      some.map((one) => ({ ...one, file: one.file.replace(`${folder}/`, '') }));
    const compare = (one: typeof found, other: typeof onDisk) => {
      const { notes: _, ...sums } = one;
      const { notes: __, ...wanted } = other;
      expect(sums).toEqual({ ...wanted, unnamed: shown(wanted.unnamed), skipped: shown(wanted.skipped) });
    };
    expect(found.targets.length).toBe(3);
    compare(found, onDisk);
    // Filters that the user gives a line are counted.
    const filters = Object.fromEntries(found.unnamed.map(({ filter }) => [filter, 'N']));
    const named = await tallyBlobs(dropped, { signal, progress: () => {} }, filters);
    expect([found.unnamed.length > 0, named.unnamed.length]).toEqual([true, 0]);
    compare(named, await tallyFiles({ folders: [join(folder, 'season')], filters }));
    expect([shares.length, shares.at(-1)]).toEqual([Math.ceil(dropped.length / 2), 1]);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

it('stops when it is cancelled, and names a file that is gone', async () => {
  const control = new AbortController();
  const counting = tallyBlobs(dropped, { signal: control.signal, progress: () => control.abort() });
  await expect(counting).rejects.toMatchObject({ tag: 'cancelled' });
  const gone = new Blob(['x']);
  gone.slice = () => {
    throw new DOMException('gone', 'NotFoundError');
  };
  const { skipped } = await tallyBlobs([{ path: 'a/b.fits', file: gone }], {
    signal: new AbortController().signal,
    progress: () => {},
  });
  expect(skipped).toEqual([{ file: 'a/b.fits', reason: 'cannot be read: it was changed or moved' }]);
});
