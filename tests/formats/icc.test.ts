import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Color from 'colorjs.io';
import { afterAll, describe, expect, it } from 'vitest';
import { d65ToD50, iccProfile } from '../../lib/formats/icc.ts';
import type { SpaceName } from '../../lib/plane/picture.ts';

const SPACES: readonly SpaceName[] = ['srgb', 'display-p3', 'srgb-linear'];
/** The same spaces in colorjs.io, an independent implementation of CSS Color 4. */
const THEIRS: Readonly<Record<SpaceName, string>> = { srgb: 'srgb', 'display-p3': 'p3', 'srgb-linear': 'srgb-linear' };

const runs = (command: string) => spawnSync(command, []).error === undefined;

/** Tags of a profile by signature, read as ICC.1:2022 §7.3 says. */
const tagsOf = (profile: Uint8Array): Map<string, DataView> => {
  const view = new DataView(profile.buffer);
  const tags = new Map<string, DataView>();
  for (let i = 0; i < view.getUint32(128); i++) {
    const entry = 132 + 12 * i;
    const name = String.fromCharCode(...profile.subarray(entry, entry + 4));
    tags.set(name, new DataView(profile.buffer, view.getUint32(entry + 4), view.getUint32(entry + 8)));
  }
  return tags;
};

const fixedAt = (view: DataView, index: number) => view.getInt32(8 + 4 * index) / 65536;

/** What a colour engine makes of an encoded value: curve type 3 or identity, then the colorants. */
const toD50 = (tags: Map<string, DataView>, rgb: readonly number[]): number[] => {
  const light = rgb.map((value, i) => {
    const curve = tags.get(['rTRC', 'gTRC', 'bTRC'][i]!)!;
    if (curve.getUint32(0) === 0x63757276) return value;
    const [g, a, b, c, d] = [1, 2, 3, 4, 5].map((n) => fixedAt(curve, n)) as [number, number, number, number, number];
    return value >= d ? (a * value + b) ** g : c * value;
  });
  return [0, 1, 2].map((k) =>
    ['rXYZ', 'gXYZ', 'bXYZ'].reduce((sum, name, i) => sum + light[i]! * fixedAt(tags.get(name)!, k), 0),
  );
};

const colours = [
  [0, 0, 0],
  [1, 1, 1],
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
  [0.5, 0.5, 0.5],
  [0.03, 0.04, 0.05],
  [0.9, 0.2, 0.4],
  [0.01, 0.7, 0.3],
] as const;

describe.each(SPACES)('the profile of %s', (space) => {
  const profile = iccProfile(space);
  const tags = tagsOf(profile);

  it('is small, the same every time, and states its own length', () => {
    expect(profile.length).toBeGreaterThan(400);
    expect(profile.length).toBeLessThanOrEqual(512);
    expect(new DataView(profile.buffer).getUint32(0)).toBe(profile.length);
    expect(Buffer.from(iccProfile(space)).equals(profile)).toBe(true);
  });

  it('has every tag of a version 4 matrix display profile, each on a multiple of four', () => {
    const required = ['desc', 'cprt', 'wtpt', 'chad', 'rXYZ', 'gXYZ', 'bXYZ', 'rTRC', 'gTRC', 'bTRC'];
    expect([...tags.keys()]).toEqual(required);
    for (const view of tags.values()) expect(view.byteOffset % 4).toBe(0);
  });

  // ICC.1:2022 §10.15: one record of 12 bytes, language, country, length and place of a text in UTF-16BE; §4.2: dates.
  it('names itself in one language, and has a date that can be', () => {
    const named = tags.get('desc')!;
    const letters = (at: number, count: number) =>
      String.fromCharCode(...Array.from({ length: count }, (_, i) => named.getUint16(at + 2 * i)));
    expect([named.getUint32(8), named.getUint32(12), named.getUint32(24)]).toEqual([1, 12, 28]);
    expect([named.getUint8(16), named.getUint8(17), named.getUint8(18), named.getUint8(19)]).toEqual(
      [...'enUS'].map((letter) => letter.charCodeAt(0)),
    );
    const name = letters(28, named.getUint32(20) / 2);
    expect(name).toMatch(space === 'display-p3' ? /P3/ : /sRGB/);
    expect(name).toMatch(/^[\x20-\x7e]+$/);
    const header = new DataView(profile.buffer);
    const [year, month, day, ...time] = [24, 26, 28, 30, 32, 34].map((at) => header.getUint16(at));
    expect(new Date(Date.UTC(year!, month! - 1, day!)).toISOString()).toMatch(/^20\d\d-/);
    expect([month! >= 1 && month! <= 12, day! >= 1 && day! <= 31]).toEqual([true, true]);
    expect(time).toEqual([0, 0, 0]);
  });

  it('gives white as D50 to the last bit', () => {
    const sums = [0, 1, 2].map((k) =>
      ['rXYZ', 'gXYZ', 'bXYZ'].reduce((sum, name) => sum + tags.get(name)!.getInt32(8 + 4 * k), 0),
    );
    expect(sums).toEqual([0xf6d6, 0x10000, 0xd32d]);
  });

  // Their D50 is the chromaticity (0.3457, 0.3585), a Z 0.0002 higher than the one ICC fixes.
  it('gives the XYZ that colorjs.io gives', () => {
    for (const rgb of colours) {
      const wanted = new Color(THEIRS[space], [...rgb]).to('xyz-d50').coords;
      const found = toD50(tags, rgb);
      for (const k of [0, 1, 2]) expect(Math.abs(found[k]! - wanted[k]!), `${rgb}`).toBeLessThan(2.5e-4);
    }
  });
});

it('adapts from D65 to D50 as CSS Color 4 does', () => {
  // W3C CSS Color Module Level 4, sample code, D65_to_D50 (linearized Bradford; white 0.3457, 0.3585 there, hence 1e-4).
  const published = [
    [1.0479297925449969, 0.022946870601609652, -0.05019226628920524],
    [0.02962780877005599, 0.9904344267538799, -0.017073799063418826],
    [-0.009243040646204504, 0.015055191490298152, 0.7518742814281371],
  ];
  for (const [i, row] of d65ToD50().entries())
    for (const [j, value] of row.entries()) expect(Math.abs(value - published[i]![j]!)).toBeLessThan(3e-4);
});

const folder = mkdtempSync(join(tmpdir(), 'linewash-icc-'));
for (const space of SPACES) writeFileSync(join(folder, `${space}.icc`), iccProfile(space));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** CIELAB (D50) by littlecms, relative colorimetric, of encoded values in 0…1. */
const byLittlecms = (space: SpaceName, rgbs: readonly (readonly number[])[]): number[][] => {
  const input = rgbs.map((rgb) => rgb.map((value) => value * 255).join(' ')).join('\n');
  const options = ['-n', '-t1', '-i', join(folder, `${space}.icc`), '-o', '*Lab'];
  const { stdout } = spawnSync('transicc', options, { input: `${input}\n`, encoding: 'utf8' });
  return stdout
    .trim()
    .split('\n')
    .map((line) => line.trim().split(/\s+/).map(Number));
};

const difference = (a: readonly number[], b: readonly number[]) =>
  new Color('lab', a as [number, number, number]).deltaE(new Color('lab', b as [number, number, number]), '2000');

describe.skipIf(!runs('transicc'))('littlecms (needs transicc)', () => {
  it.each(SPACES)('sees the colours of %s as colorjs.io does', (space) => {
    const found = byLittlecms(space, colours);
    expect(found).toHaveLength(colours.length);
    for (const [i, rgb] of colours.entries())
      expect(difference(found[i]!, new Color(THEIRS[space], [...rgb]).to('lab').coords as number[])).toBeLessThan(0.3);
  });

  it('sees the same colours in all three spaces, within ΔE00 1', () => {
    const inSpace = (space: SpaceName) =>
      byLittlecms(
        space,
        colours.map((rgb) => new Color('srgb', [...rgb]).to(THEIRS[space]).coords as number[]),
      );
    const [srgb, p3, linear] = SPACES.map(inSpace);
    for (let i = 0; i < colours.length; i++) {
      expect(difference(srgb![i]!, p3![i]!)).toBeLessThan(1);
      expect(difference(srgb![i]!, linear![i]!)).toBeLessThan(1);
    }
  });
});

describe.skipIf(!runs('exiftool'))('exiftool', () => {
  it.each(SPACES)('finds nothing wrong with the profile of %s', (space) => {
    const { stdout } = spawnSync(
      'exiftool',
      ['-j', '-validate', '-warning', '-error', '-ICC_Profile:all', join(folder, `${space}.icc`)],
      { encoding: 'utf8' },
    );
    const [said] = JSON.parse(stdout);
    expect(said).toMatchObject({ Validate: 'OK', ProfileVersion: '4.3.0', ColorSpaceData: 'RGB ' });
    expect(said.Warning ?? said.Error).toBeUndefined();
  });
});
