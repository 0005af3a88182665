import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import type { Card } from '../../lib/plane/facts.ts';
import { LINES, SEASON, subsOf, TARGET_NAMES, TARGETS } from '../../samples/scene/index.ts';
import { inFolder, linewash } from './capture.ts';

const runs = SEASON.flatMap(({ date, runs: own }) => own.map((run) => ({ ...run, night: date })));

/** The tally that the season of the samples was written with. */
const wanted = TARGET_NAMES.map((name) => ({
  target: TARGETS[name].object,
  lines: [...LINES].sort().map((line) => {
    const own = runs.filter((run) => run.target === name && run.line === line);
    const subs = own.reduce((sum, run) => sum + run.subs, 0);
    const nights = [...new Set(own.map(({ night }) => night))].sort();
    const lengths = { 400: subs };
    return { line, subs, hours: subs / 9, nights: nights.length, lengths, first: nights[0], last: nights.at(-1) };
  }),
})).sort((a, b) => (a.target < b.target ? -1 : 1));

const fresh = async <T>(use: (subs: string, folder: string) => Promise<T>) =>
  inFolder(async (folder) => {
    const subs = join(folder, 'subs');
    for (const sub of subsOf()) {
      mkdirSync(join(subs, sub.night), { recursive: true });
      writeFileSync(join(subs, sub.night, sub.name), await sub.bytes());
    }
    await use(subs, folder);
  });

/** A master of noise; the header says no more than the cards. */
const writeMaster = async (path: string, seed: number, cards: Card[] = []) => {
  const sink = memorySink();
  const writer = writeMono(sink, { width: 64, height: 48, type: 'f32', cards });
  const normal = normalDeviates(seed);
  await writer.writeRows(Float32Array.from({ length: 64 * 48 }, () => 500 + 3 * normal()));
  await writer.finish();
  await sink.close();
  writeFileSync(path, sink.bytes());
};

it('counts the subs of the samples, as a table, CSV and JSON, by line and by night, and gives hours to plans', () =>
  fresh(async (subs, folder) => {
    const json = await linewash(['tally', subs, '--json']);
    expect([json.code, json.err]).toEqual([0, '']);
    const found = JSON.parse(json.out);
    const close = (targets: typeof wanted) =>
      targets.map(({ target, lines }) => ({
        target,
        lines: lines.map((line) => ({ ...line, hours: expect.closeTo(line.hours, 9) })),
      }));
    expect(found).toEqual({
      targets: close(wanted),
      unnamed: [],
      skipped: [],
      left: { calibration: 0, masters: 0 },
      noon: { localTime: 0, longitude: 0, utc: runs.reduce((sum, run) => sum + run.subs, 0) },
      notes: [],
    });
    const text = await linewash(['tally', subs]);
    expect(text.out).toMatch(/^target +line +subs +hours +nights +lengths +first +last\n/);
    expect(text.out).toMatch(/^Emberwing +H +36 +4 +2 +36 × 400 s +2025-01-20 +2025-01-21$/m);
    expect(text.out).toContain('Nights run from noon to noon, UTC.\nLeft out: 0 calibration frames, 0 masters.\n');
    const csv = await linewash(['tally', subs, '--by', 'night', '--csv']);
    const rows = csv.out.split('\r\n');
    expect(rows[0]).toBe('night,target,line,subs,hours,lengths_s');
    expect(rows.slice(1, -1)).toEqual(
      runs
        .map(({ night, target, line, subs: n }) => {
          const hours = Number((n / 9).toFixed(4));
          return `${night},${TARGETS[target].object},${line},${n},${hours},${n} × 400`;
        })
        .sort(),
    );
    const nightly = JSON.parse((await linewash(['tally', subs, '--by', 'night', '--json'])).out);
    expect(nightly.nights).toHaveLength(runs.length);

    // Masters that keep no hours, of which one names its target.
    const tally = join(folder, 'tally.json');
    writeFileSync(tally, json.out);
    const masters = await Promise.all(
      LINES.map(async (line, i) => {
        const path = join(folder, `${line}.fits`);
        await writeMaster(path, i + 1, line === 'H' ? [{ keyword: 'OBJECT', value: 'EMBERWING' }] : []);
        return `${line}=${path}`;
      }),
    );
    const hours = (...more: string[]) => linewash(['hours', 'ember', ...masters, ...more, '--json']);
    expect((await hours('--more', '3h')).code).toBe(2);
    for (const from of [tally, subs]) {
      const { code, out, err } = await hours('--more', '3h', '--tally', from, '--time', 'S=5');
      expect([code, err]).toEqual([0, '']);
      expect(JSON.parse(out).lines).toMatchObject([
        { name: 'S', hours: 5, from: 'given', sub: 400, subs: 45 },
        { name: 'H', hours: 4, from: 'tally', sub: 400, subs: 36 },
        { name: 'O', hours: expect.closeTo(9, 9), from: 'tally', sub: 400, subs: 81 },
      ]);
    }
    const other = JSON.parse((await hours('--tally', tally, '--target', 'Nobody')).out);
    expect(other.warnings[0]).toBe('the tally has no target Nobody; it has Brightfen, Emberwing, Palehoop');
    const third = JSON.parse((await hours('--tally', tally, '--target', 'palehoop')).out);
    expect(third.lines.map((line: { hours: number }) => line.hours)).toEqual(
      [4, 4, 9].map((h) => expect.closeTo(h, 9)),
    );

    const plan = join(folder, 'plan.json');
    const files = Object.fromEntries(LINES.map((line) => [line, `${line}.fits`]));
    const target = { masters: files, recipe: 'ember' };
    const targets = [
      { ...target, name: 'Brightfen' },
      { ...target, name: 'the other' },
    ];
    writeFileSync(plan, JSON.stringify({ linewash: 1, nights: [{ date: '2026-01-10', dark: '6h' }], targets }));
    expect((await linewash(['hours', '--plan', plan])).err).toMatch(/exposure of S is unknown/);
    const planned = JSON.parse((await linewash(['hours', '--plan', plan, '--tally', tally, '--json'])).out);
    // By the plan's name of a target, else by that of a master.
    const spent = planned.targets.map(({ lines }: { lines: { hours: number }[] }) => lines.map(({ hours: h }) => h));
    expect(spent).toEqual(
      [
        [4, 3, 3],
        [6, 4, 9],
      ].map((some) => some.map((h) => expect.closeTo(h, 9))),
    );
  }));

describe('linewash tally', () => {
  it('names a filter as it is told, and says what it could not name', () =>
    inFolder(async (folder) => {
      for (const [i, filter] of ['1', '1', 'Red', '2'].entries())
        await writeMaster(join(folder, `${i}.fits`), i, [
          { keyword: 'FILTER', value: filter },
          { keyword: 'EXPTIME', value: 60 },
          { keyword: 'OBJECT', value: '=Wing' },
        ]);
      const bare = await linewash(['tally', folder]);
      expect(bare.code).toBe(0);
      expect(bare.err).toContain('2 subs not counted');
      expect(bare.err).toContain('the filter "Red" names no line');
      const told = await linewash(['tally', folder, '--filter', '1=S,2=H', '--filter', 'Red=R', '--csv']);
      expect([told.code, told.err]).toEqual([0, 'linewash: note: 4 subs without date and time: counted in no night\n']);
      expect(told.out).toBe(
        'target,line,subs,hours,nights,lengths_s,first,last\r\n' +
          "'=Wing,H,1,0.0167,0,1 × 60,,\r\n'=Wing,R,1,0.0167,0,1 × 60,,\r\n'=Wing,S,2,0.0333,0,2 × 60,,\r\n",
      );
    }));

  it('counts nothing in an empty folder, and refuses what is none', () =>
    inFolder(async (folder) => {
      const empty = await linewash(['tally', folder]);
      expect(empty.code).toBe(0);
      expect(empty.err).toBe('linewash: note: no sub-exposures found\n');
      const file = join(folder, 'a.fits');
      writeFileSync(file, '');
      for (const path of [file, join(folder, 'nowhere')]) {
        const { code, out, err } = await linewash(['tally', path]);
        expect([code, out]).toEqual([2, '']);
        expect(err).toMatch(/name the folder of the sub-exposures/);
      }
      expect((await linewash(['tally', folder, '--filter', 'S'])).code).toBe(2);
    }));

  it('refuses a tally that is none, with the place of each fault', () =>
    inFolder(async (folder) => {
      const tally = join(folder, 'tally.json');
      const master = join(folder, 'H.fits');
      await writeMaster(master, 1);
      const asked = (text: string) => {
        writeFileSync(tally, text);
        return linewash(['hours', 'hoo', `H=${master}`, `O=${master}`, '--tally', tally]);
      };
      const { code, err } = await asked(
        '{"targets": [{"target": "A", "lines": [{"line": "H", "subs": 0, "hours": 2}]}]}',
      );
      expect(code).toBe(2);
      expect(err).toMatch(
        /line 1, column \d+, \$\.targets\[0\]\.lines\[0\]\.subs: expected a whole number, 1 or above/,
      );
      expect((await asked('')).err).toContain('the text is empty');
      expect((await asked('{}')).err).toContain('this key is missing');
      expect(readFileSync(tally, 'utf8')).toBe('{}');
    }));
});
