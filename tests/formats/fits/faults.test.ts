import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { leastTime } from '../../processor-time.ts';
import { failure } from './build.ts';
import { readAll, readBytes } from './expected.ts';

const folder = fileURLToPath(new URL('../../../../shared/faults', import.meta.url));

interface Fault {
  readonly action: string;
  readonly width?: number;
  readonly height?: number;
  readonly stored_row0_first4?: readonly (number | null)[];
  readonly at_x44_y13?: number;
  readonly min?: number;
  readonly max?: number;
  readonly nonfinite?: number;
}

const faults: [string, Fault][] = existsSync(folder)
  ? Object.entries<Fault>(JSON.parse(readFileSync(join(folder, 'expected.json'), 'utf8'))).filter(([name]) =>
      /^f.*\.fits/.test(name),
    )
  : [];
const isCube = (name: string) => name.includes('cube');
const readable = faults.filter(([, fault]) => fault.width !== undefined);
const refused = faults.filter(([name, fault]) => fault.width === undefined || isCube(name));
const sourceOf = (name: string) => memorySource(name, readBytes(folder, name));
const sameOrNaN = (wanted: number | null) => wanted ?? Number.NaN;

describe.skipIf(faults.length === 0)('odd and broken files', () => {
  it.each(readable)('%s holds the pixels that were written', async (name, fault) => {
    const plane = await openFits(sourceOf(name), isCube(name) ? { plane: 0 } : {});
    expect([plane.width, plane.height]).toEqual([fault.width, fault.height]);
    const pixels = await readAll(plane);
    const topDown = plane.warnings.some((warning) => warning.includes('TOP-DOWN'));
    const storedRow = (y: number) => (topDown ? y : plane.height - 1 - y) * plane.width;
    expect([...pixels.subarray(storedRow(0), storedRow(0) + 4)]).toEqual(fault.stored_row0_first4?.map(sameOrNaN));
    expect(pixels[storedRow(13) + 44]).toBe(fault.at_x44_y13);
    const finite = pixels.filter(Number.isFinite);
    expect(finite.reduce((least, value) => Math.min(least, value))).toBe(fault.min);
    expect(finite.reduce((most, value) => Math.max(most, value))).toBe(fault.max);
    expect(pixels.length - finite.length).toBe(fault.nonfinite);
  });

  it.each(refused)('%s is refused with a reason', async (name) => {
    const error = await failure(openFits(sourceOf(name)));
    expect(error).toMatchObject({ tag: 'format', file: name });
    expect(error.message.length).toBeGreaterThan(10);
    expect(await leastTime(() => failure(openFits(sourceOf(name))))).toBeLessThan(500);
  });

  it.each([
    ['f04_top_down.fits', 'TOP-DOWN'],
    ['f05b_blank_on_float.fits', 'BLANK is ignored'],
    ['f06_odd_cards.fits', 'OBJECT, NOTE, TESTVERI'],
    ['f06b_lowercase_bzero.fits', 'bzero, bscale'],
    ['f11_image_in_ext2.fits', 'HDU 2'],
  ])('%s warns', async (name, part) => {
    expect((await openFits(sourceOf(name))).warnings.join('\n')).toContain(part);
  });

  it('keeps names that look like numbers', async () => {
    expect((await openFits(sourceOf('f12_filter_as_string_number.fits'))).facts.filter).toBe('656e0');
  });
});
