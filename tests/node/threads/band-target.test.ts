import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { encodedWriter } from '../../../lib/formats/encoded-writer.ts';
import { formatOf } from '../../../lib/formats/pictures.ts';
import { firstTurn, openTarget } from '../../../lib/node/threads/band-target.ts';
import { memorySink } from '../../../lib/plane/bytes.ts';
import { type OutputSample, outputRows, type PictureInfo } from '../../../lib/plane/picture.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-ordered-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const picture = (width: number, height: number, bands: 3 | 4, sample: OutputSample) => {
  const next = randomNumbers(width);
  const pixels = outputRows(sample, width * height * bands);
  for (let i = 0; i < pixels.length; i++) pixels[i] = (i >> 4) + 40 * next();
  return { pixels, info: { width, height, bands, sample, space: 'srgb', note: '{}' } satisfies PictureInfo };
};

describe('bands that stand one behind the other', () => {
  for (const [name, width, height, bands, sample] of [
    ['a.png', 300, 211, 3, 'u16'],
    ['a.png', 700, 97, 4, 'u8'],
    ['a.png', 20_000, 7, 3, 'u16'],
    ['a.jpg', 701, 97, 3, 'u8'],
  ] as const)
    it(`make the file of one writer, whoever encodes them and in any order: ${name} ${width} × ${height}`, async () => {
      const { pixels, info } = picture(width, height, bands, sample);
      const sink = memorySink();
      const encoder = await formatOf(name)!.encoder!(info);
      const writer = await encodedWriter(sink, info, encoder);
      await writer.writeRows(pixels);
      await writer.finish();

      const path = join(folder, `${width} ${name}`);
      writeFileSync(path, encoder.head);
      const turn = firstTurn(encoder.head.length);
      const rows = 2 * encoder.rows;
      const target = { path, name, place: { kind: 'ordered', info, turn } } as const;
      const form = { width, height, form: { sample, bands } };
      const threads = await Promise.all([1, 2, 3].map(() => openTarget(target, form, () => true)));
      const count = Math.ceil(height / rows);
      const work = Array.from({ length: count }, (_, i) => count - 1 - i).map((band) => {
        const y = band * rows;
        const some = Math.min(rows, height - y);
        const above = y === 0 ? 0 : threads[0]!.above;
        const part = pixels.slice((y - above) * width * bands, (y + some) * width * bands);
        return threads[band % 3]!.put(part, band, { y, rows: some, above });
      });
      await Promise.all(work);
      for (const thread of threads) thread.close();
      const [end, sum] = turn.state;
      const file = Buffer.concat([readFileSync(path).subarray(0, end), encoder.tail(sum!)]);
      expect(file.equals(sink.bytes())).toBe(true);
    });

  it('are not waited for once another thread has stopped', async () => {
    const { pixels, info } = picture(30, 4, 3, 'u8');
    const path = join(folder, 'stopped.png');
    writeFileSync(path, '');
    const place = { kind: 'ordered', info, turn: firstTurn(10) } as const;
    const target = await openTarget({ path, name: 'a.png', place }, { width: 30, height: 4, form: info }, () => false);
    await target.put(pixels, 3, { y: 0, rows: 4, above: 0 });
    target.close();
    expect(readFileSync(path).length).toBe(0);
  });
});
