import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);
const BOX = '40,260,16,16';

const hours = (...more: string[]) => linewash(['hours', 'ember', ...words, ...more]);
const json = async (...more: string[]) => {
  const { code, out, err } = await hours(...more, '--json');
  expect([code, err]).toEqual([0, '']);
  return JSON.parse(out);
};

/** A master of noise whose header tells nothing of exposure. */
const writeSilent = async (path: string, seed: number) => {
  const sink = memorySink();
  const writer = writeMono(sink, { width: 64, height: 48, type: 'f32', cards: [] });
  const normal = normalDeviates(seed);
  await writer.writeRows(Float32Array.from({ length: 64 * 48 }, () => 500 + 3 * normal()));
  await writer.finish();
  await sink.close();
  writeFileSync(path, sink.bytes());
};

describe('linewash hours', () => {
  it('prints the ledger, the split and the caution once', async () => {
    const { code, out, err } = await hours('--more', '10h');
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(/^line +hours +subs +background +noise/);
    expect(out).toMatch(/^S +6 +54 × 400 s/m);
    expect(out).toMatch(/^luminance +[\d.]+ +\d+ % +[\d.]+ % +\d+ %$/m);
    expect(out).toMatch(/10 h more on the clock: noise of luminance at the background .* → .*\(−\d+ %\)/);
    expect(out.match(/common sense/g)).toHaveLength(1);
    expect(out.endsWith('common sense.\n')).toBe(true);
  });

  it('prints JSON: settled numbers, lines, ledger, advice', async () => {
    const result = await json('--more', '10h', '--overhead', '12s', '--change', '5m');
    expect(result.lines.map((line: { name: string }) => line.name)).toEqual(['S', 'H', 'O']);
    expect(result.lines[1]).toMatchObject({ hours: 4, sub: 400, subs: 36, from: 'header' });
    expect(result.settled.channels).toHaveLength(3);
    const { allocation, future } = result.advice;
    let clock = 0;
    for (const { subs, added } of allocation.shares) {
      expect(Number.isInteger(subs)).toBe(true);
      expect(added).toBeCloseTo(subs / 9, 9);
      if (subs > 0) clock += (subs * 412) / 3600 + 5 / 60;
    }
    expect(allocation.clock).toBeCloseTo(clock, 9);
    expect(allocation.clock).toBeLessThanOrEqual(10 + 1e-9);
    expect(future.noise.luminance).toBeLessThan(result.ledger.background.noise.luminance);
    expect(result.caution).toMatch(/estimates/);
  });

  it('reads a box, and says when it reaches an SNR', async () => {
    const result = await json('--box', BOX, '--goal', 'snr', '--snr', '5');
    expect(result.ledger.box.pixels).toBe(256);
    expect(result.advice.place).toBe('box');
    const { luminance } = result.advice.future.noise;
    expect(result.ledger.box.signal.luminance / luminance).toBeGreaterThanOrEqual(5);
    expect(result.advice.steps.map((step: { snr: number }) => step.snr)).toEqual([3, 5, 10]);
    expect(result.advice.steps[1].allocation.clock).toBeCloseTo(result.advice.allocation.clock, 6);
    const { out } = await hours('--box', BOX);
    expect(out).toMatch(/^SNR in luminance +on the clock/m);
    expect(out).toMatch(/^signal of the box/m);
  });

  it('checks itself by drawing the noise', async () => {
    const { monteCarlo } = await json('--monte-carlo', '4000', '--box', BOX);
    for (const place of [monteCarlo.background, monteCarlo.box])
      for (const quantity of ['red', 'green', 'blue', 'luminance', 'chroma'])
        expect(Math.abs(place.ratio[quantity] - 1)).toBeLessThan(4 * place.error);
  });

  it('takes hours, caps and nights, and answers what if', async () => {
    const given = await json('--time', 'S=20h,O=2h', '--nights', '2x3h', '--cap', 'O=4h', '--move', 'S:H=5h');
    expect(given.lines.map((line: { hours: number }) => line.hours)).toEqual([20, 4, 2]);
    expect(given.lines[0].from).toBe('given');
    const { shares } = given.advice.allocation;
    expect(shares[2].added).toBe(2);
    expect(shares[0].added + shares[1].added).toBeCloseTo(4, 9);
    const { red, green } = given.ledger.background.noise;
    expect(given.move.noise.red).toBeCloseTo(red * Math.sqrt(4 / 9), 9);
    expect(given.move.noise.green).toBeGreaterThan(green);
  });

  it('counts read noise where future subs are shorter', async () => {
    const camera = ['--gain', '0.25', '--pedestal', '600'];
    const added = async (...more: string[]) => (await json('--more', '9h', '--goal', 'colour', ...more)).advice;
    const quiet = await added('--sub', 'H=20s', ...camera, '--read-noise', '0');
    const loud = await added('--sub', 'H=20s', ...camera, '--read-noise', '5');
    expect(loud.allocation.after).toBeGreaterThan(quiet.allocation.after);
    expect(loud.nextHour[1]).toBeLessThan(quiet.nextHour[1]);
  });

  it('compares with what the CCD equation expects, and says where they differ', async () => {
    const camera = ['--read-noise', '1.6', '--pedestal', '600'];
    const right = await json('--gain', '0.25', ...camera);
    for (const { expected, background } of right.lines)
      expect(Math.abs(background.noise / expected - 1)).toBeLessThan(0.03);
    const wrong = await hours('--gain', '0.5', ...camera);
    expect(wrong.code).toBe(0);
    expect(wrong.err).toMatch(/note: S: its noise is 5\.\d+, the CCD equation expects 3\.\d+/);
  });

  it('shows the ledger without known hours, but plans nothing', async () =>
    inFolder(async (folder) => {
      const files = { H: join(folder, 'h.fits'), O: join(folder, 'o.fits') };
      await writeSilent(files.H, 1);
      await writeSilent(files.O, 2);
      const line = ['hours', 'hoo', ...asWords(files)];
      const { code, out, err } = await linewash(line);
      expect(code).toBe(0);
      expect(out).toContain('noise at the background');
      expect(out).not.toContain('common sense');
      expect(err).toMatch(/hours so far are not known for H, O.*\n {2}→ give them \(--time H=4.5h\)/);
      const planned = await linewash([...line, '--more', '5h']);
      expect([planned.code, planned.out]).toEqual([2, '']);
      expect(planned.err).toMatch(/the exposure of H is unknown/);
      expect((await linewash([...line, '--more', '5h', '--time', '3h'])).code).toBe(0);
    }));

  it('refuses an option for a line that is not there, whichever it is', () =>
    inFolder(async (folder) => {
      const files = { H: join(folder, 'h.fits'), O: join(folder, 'o.fits') };
      await writeSilent(files.H, 1);
      await writeSilent(files.O, 2);
      const options = { time: '2h', sub: '300s', overhead: '12s', cap: '9h', weight: '2', gain: '2' };
      const camera = { 'read-noise': '2', sky: '0.2', pedestal: '600' };
      for (const [name, value] of Object.entries({ ...options, ...camera })) {
        const { code, out, err } = await linewash(['hours', 'hoo', ...asWords(files), `--${name}`, `Q=${value}`]);
        expect([code, out]).toEqual([2, '']);
        expect(err).toContain(`--${name}: there is no line "Q"`);
      }
    }));

  it.each([
    [['--sub', '10'], /--sub.*4\.5h/s],
    [['--more', '10h', '--goal', 'best'], /Allowed choices/],
    [['--goal', 'snr', '--snr', '5'], /needs a box/],
    [['--box', '1,2,3'], /LEFT,TOP,WIDTH,HEIGHT/],
    [['--box', '470,0,40,40'], /leaves the picture/],
    [['--cap', 'Hq=20h'], /there is no line "Hq".*did you mean H/s],
    [['--move', 'S:H=7h'], /cannot be taken from it/],
    [['--read-noise', '2'], /brightness of the sky/],
    [['--monte-carlo', '1'], /whole number above 1/],
    [['--nights', '3'], /3x6h/],
    [['--weight', 'O=-1'], /above 0/],
  ])('refuses %j', async (more, message) => {
    const { code, out, err } = await hours(...more);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(message);
  });
});
