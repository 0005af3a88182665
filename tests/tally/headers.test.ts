import { describe, expect, it } from 'vitest';
import { readPictureFacts } from '../../lib/formats/facts.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import type { HeaderFacts } from '../../lib/plane/facts.ts';
import { tallyCounter } from '../../lib/tally/count.ts';
import { frameKind } from '../../lib/tally/frame.ts';
import { nightOf } from '../../lib/tally/night.ts';
import { namesInPath, targetKey, targetOf } from '../../lib/tally/target-name.ts';
import { blobSource } from '../../lib/web/bytes/blob-source.ts';
import { card, data, image, join } from '../formats/fits/build.ts';
import { buildTiff } from '../formats/tiff/build.ts';

const facts = (some: Partial<HeaderFacts>): HeaderFacts => ({ from: {}, cards: [], ...some });
const fits = (...cards: string[]) => join(image(16, [8, 4], ...cards), data(new Uint8Array(64)));
const factsOf = (...cards: string[]) => readPictureFacts(memorySource('a.fits', fits(...cards)));

describe('a night', () => {
  const noon = '2026-03-10T12:00:00';
  it.each([
    // UTC
    [{ dateStart: '2026-03-10T11:59:59' }, '2026-03-09', 'utc'],
    [{ dateStart: noon }, '2026-03-10', 'utc'],
    [{ dateStart: '2026-03-11T11:59:59.999Z' }, '2026-03-10', 'utc'],
    [{ dateStart: '2026-03-10 12:00' }, '2026-03-10', 'utc'],
    [{ dateStart: '2026-03-10T09:00:00-05:00' }, '2026-03-10', 'utc'],
    [{ dateStart: '2026-03-10T23:59:60' }, undefined, undefined],
    // Longitude: noon comes earlier in the east.
    [{ dateStart: '2026-03-10T03:00:00', longitude: 135 }, '2026-03-10', 'longitude'],
    [{ dateStart: '2026-03-10T02:59:59', longitude: 135 }, '2026-03-09', 'longitude'],
    [{ dateStart: '2026-03-10T19:59:59', longitude: -120 }, '2026-03-09', 'longitude'],
    [{ dateStart: '2026-03-10T20:00:00', longitude: -120 }, '2026-03-10', 'longitude'],
    // The clock of the place counts before both.
    [{ dateStart: noon, longitude: 135, dateLocal: '2026-03-09T23:00:00' }, '2026-03-09', 'localTime'],
    [{ dateLocal: '2026-03-10T03:00:00+09:00' }, '2026-03-09', 'localTime'],
    // No time of the day, no night.
    [{ dateStart: '2026-03-10' }, undefined, undefined],
    [{ dateStart: 'yesterday' }, undefined, undefined],
    [{}, undefined, undefined],
  ])('of %j is %s by %s', (header, night, by) => {
    expect(nightOf(facts(header))).toEqual(night === undefined ? undefined : { night, noon: by });
  });
});

describe('facts of subs', () => {
  it.each([
    ['150', 150],
    ['-8.5', -8.5],
    ["'+150 30 00'", 150.5],
    ["'-00:30:00'", -0.5],
    ["'8 15 00 W'", -8.25],
    ["'W 8d15m'", -8.25],
    ["'352.5'", -7.5],
    ["'400'", undefined],
    ["'Hilltop 3'", undefined],
    ["''", undefined],
  ])('take a longitude of %s as %s degrees east', async (text, degrees) => {
    expect((await factsOf(card('SITELONG', text))).longitude).toBe(degrees);
  });

  it('join a date with a time that stands apart, and keep what has both', async () => {
    const time = card('TIME-OBS', "'03:04:05'");
    const joined = await factsOf(card('DATE-OBS', "'2026-01-02'"), time);
    expect(joined.dateStart).toBe('2026-01-02T03:04:05');
    expect(joined.from).toEqual({ dateStart: 'DATE-OBS, TIME-OBS' });
    expect((await factsOf(card('DATE-OBS', "'2026-01-02T00:00:00'"), time)).dateStart).toBe('2026-01-02T00:00:00');
    expect(await factsOf(time)).not.toHaveProperty('dateStart');
  });

  it('of a TIFF are what a camera wrote as Exif', async () => {
    const page = (exifAt: number) =>
      buildTiff([
        {
          tags: [
            [256, 3, [4]],
            [257, 3, [2]],
            [258, 3, [8]],
            [262, 3, [1]],
            [34665, 4, [exifAt]],
          ],
          chunks: [new Uint8Array(8)],
        },
      ]);
    const at = page(0).length;
    const exif = new DataView(new ArrayBuffer(2 + 2 * 12 + 4 + 8 + 20));
    exif.setUint16(0, 2, true);
    for (const [i, [tag, type, count, place]] of [
      [33434, 5, 1, at + 30],
      [36867, 2, 20, at + 38],
    ].entries()) {
      exif.setUint16(2 + 12 * i, tag!, true);
      exif.setUint16(4 + 12 * i, type!, true);
      exif.setUint32(6 + 12 * i, count!, true);
      exif.setUint32(10 + 12 * i, place!, true);
    }
    exif.setUint32(30, 1205, true);
    exif.setUint32(34, 10, true);
    for (const [i, c] of [...'2026:01:31 22:15:00'].entries()) exif.setUint8(38 + i, c.charCodeAt(0));
    const read = (offset: number) =>
      readPictureFacts(memorySource('a.tif', join(page(offset), new Uint8Array(exif.buffer))));
    expect(await read(at)).toMatchObject({
      exposure: 120.5,
      dateLocal: '2026-01-31T22:15:00',
      from: { exposure: 'ExposureTime', dateLocal: 'DateTimeOriginal' },
    });
    // A directory that is none says nothing.
    expect((await read(1 << 30)).exposure).toBeUndefined();
  });
});

describe('what a frame is', () => {
  it.each([
    [{}, 'sub'],
    [{ kind: 'Light Frame', subs: 1 }, 'sub'],
    [{ kind: 'OBJECT' }, 'sub'],
    ...['Bias Frame', 'DARK', 'Flat Field', 'FlatDark', 'zero', 'skyflat', 'offset'].map(
      (kind) => [{ kind }, 'calibration'] as const,
    ),
    [{ kind: 'Master Dark' }, 'master'],
    [{ kind: 'Light', subs: 2 }, 'master'],
    [{ exposure: 300, hours: 3 }, 'master'],
    // What takes a little longer is a shutter.
    [{ exposure: 300, hours: 301 / 3600 }, 'sub'],
    [{ kind: 'Focus' }, 'other'],
  ] as const)('%j is a %s', (header, kind) => {
    expect(frameKind(facts(header))).toBe(kind);
  });
});

describe('a target', () => {
  it.each([
    ['M 31', 'm31', 'M-31', 'M_31', ' m  31 '],
    ['Cinder Wing', 'CINDERWING', 'cinder_wing'],
    ['Élan 2', 'elan2', 'ÉLAN-2'],
    ['Wing 1 12', 'wing1-12'],
  ])('%s is also spelt %s', (...names) => {
    expect(new Set(names.map(targetKey)).size).toBe(1);
  });

  it('keeps numbers apart', () => {
    const names = ['Wing 1 12', 'Wing 11 2', 'Wing 112', 'Wing 1', 'Wing'];
    expect(new Set(names.map(targetKey)).size).toBe(names.length);
  });

  it('is nobody where the header says so', () => {
    expect(['unknown', 'N/A', ' ', '--', undefined].map(targetOf)).toEqual(Array(5).fill(undefined));
    expect(targetOf('  The   Rim ')).toBe('The Rim');
  });

  it.each([
    ['subs/Cinder Wing/2026-01-31/lights/H_0001.fits', 'H', ['Cinder Wing']],
    ['subs/Light_Cinder_Wing_300s_Ha_bin1_-10C_20260131T221500_0007.fits.gz', 'H', ['Cinder Wing']],
    ['Tarn 12 Ha/session2/img_001.fits', 'H', ['Tarn 12']],
    ['night 3/M 27_H-alpha_300s_001.fit', 'H', ['M 27']],
    ['2026-01-31/001.fits', 'O', []],
  ])('may be named by the path %s', (path, line, names) => {
    expect(namesInPath(path, line)).toEqual(names);
  });
});

it('counts blobs as it counts files, without a disk', async () => {
  const counter = tallyCounter({ '7': 'N' });
  const add = async (path: string, ...cards: string[]) =>
    counter.add(path, await readPictureFacts(blobSource(path, new Blob([fits(...cards) as Uint8Array<ArrayBuffer>]))));
  const exposed = card('EXPTIME', 90);
  await add(
    'a/1.fits',
    card('OBJECT', "'Rim'"),
    card('FILTER', "'Ha'"),
    exposed,
    card('DATE-OBS', "'2026-01-02T20:00:00'"),
  );
  await add('rim/2.fits', card('FILTER', '7'), exposed);
  await add('b/3.fits', card('FILTER', '7'), exposed);
  await add('b/656_1.fits', exposed);
  counter.skip('c.fits', 'torn');
  const found = counter.result();
  expect(
    found.targets.map(({ target, lines }) => [target, ...lines.map(({ line, subs }) => `${line} ${subs}`)]),
  ).toEqual([
    ['Rim', 'H 1', 'N 1'],
    ['b', 'N 1'],
  ]);
  // A number in a sub's name counts files: 656 is no wavelength.
  expect(found.unnamed).toEqual([{ file: 'b/656_1.fits', filter: '' }]);
  expect(found.notes).toEqual([
    '1 file skipped (c.fits): torn',
    '1 sub not counted (b/656_1.fits): the header names no filter',
    '1 sub without a target in the header: counted as Rim by file or folder name',
    '1 sub without a target in the header: counted as b by file or folder name',
    '2 subs without date and time: counted in no night',
  ]);
  // Asking does not change the sums.
  expect(counter.result()).toEqual(found);
});
