import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { TallyLine } from '../../lib/tally/tally.ts';
import { type Random, random } from '../../samples/scene/random.ts';
import { card, data, extension, image, join as joined } from '../formats/fits/build.ts';

/** What a tally of a season must say. */
export interface Truth {
  readonly targets: readonly { readonly target: string; readonly lines: readonly TallyLine[] }[];
  readonly unnamed: readonly { readonly file: string; readonly filter: string }[];
  /** Files that must be skipped, with a word of the reason. */
  readonly skipped: readonly { readonly file: string; readonly word: string }[];
  readonly left: { readonly calibration: number; readonly masters: number };
  readonly noon: { readonly localTime: number; readonly longitude: number; readonly utc: number };
}

export interface Season {
  /** Files below the folder, and links by where they lead. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly links: ReadonlyMap<string, string>;
  readonly truth: Truth;
}

const pick = <T>(rng: Random, items: readonly T[]): T => items[rng.next() % items.length]!;
const text = (value: string): string => `'${value.replaceAll("'", "''").padEnd(8)}'`;
const two = (n: number): string => String(n).padStart(2, '0');

/** Targets, the first spelling by far the most frequent. */
const TARGETS = [
  { folder: 'Cinder Wing', spellings: ['Cinder Wing', 'cinder wing', 'CINDER-WING'] },
  { folder: 'Tarn 12', spellings: ['Tarn 12', 'tarn12', 'Tarn_12'] },
  { folder: 'Élan', spellings: ['Elan', 'ELAN ', 'elan'] },
];
const LINES = ['S', 'H', 'O'] as const;
/** How filters of each line are called; the last places of a wheel name no line. */
const FILTERS = {
  S: ['SII', 'S-II 3nm', 'Sulfur'],
  H: ['Ha', 'H-alpha', 'H alpha 7nm'],
  O: ['OIII', 'O3', 'Oxygen III'],
} as const;
const PLACES = { S: '1', H: '2', O: '3' } as const;

/** Three ways to keep time: hours east of Greenwich, and what the header says of them. */
const RIGS = [
  { noon: 'utc', east: 0 },
  { noon: 'localTime', east: -8 },
  { noon: 'longitude', east: 10 },
] as const;

interface Shot {
  readonly target: number;
  readonly line: (typeof LINES)[number];
  readonly rig: (typeof RIGS)[number];
  /** Date of the evening, and hours from its noon until the exposure begins. */
  readonly evening: string;
  readonly after: number;
  readonly seconds: number;
}

const iso = (milliseconds: number): string => new Date(milliseconds).toISOString().slice(0, 19);

/** Cards about when: a date with time, a date and a time apart, or with fractions and a zone. */
const timeCards = (rng: Random, { rig, evening, after }: Shot): string[] => {
  const local = Date.parse(`${evening}T12:00:00Z`) + Math.round(after * 3600) * 1000;
  const start = iso(local - rig.east * 3_600_000);
  const when = pick(rng, [
    [card('DATE-OBS', text(start))],
    [card('DATE-OBS', text(`${start}.250`))],
    [card('DATE-OBS', text(`${start}Z`))],
    [card('DATE-OBS', text(start.slice(0, 10))), card('TIME-OBS', text(start.slice(11)))],
  ]);
  if (rig.noon === 'localTime') return [...when, card('DATE-LOC', text(iso(local)))];
  if (rig.noon === 'utc') return when;
  return [...when, pick(rng, [card('SITELONG', text('+150 00 00.0')), card('SITELONG', 150), card('OBSGEO-L', 150.0)])];
};

const PIXELS = data(new Uint8Array(64));
const KINDS = ['Light Frame', 'LIGHT', 'object', undefined];

const fits = (cards: readonly string[]): Uint8Array => joined(image(16, [8, 4], ...cards), PIXELS);

/** The same as a picture packed into a table, its facts in the extension, its pixels not worth unpacking. */
const packed = (cards: readonly string[]): Uint8Array =>
  joined(
    image(8, []),
    extension(
      'BINTABLE',
      8,
      [8, 4],
      card('ZIMAGE', '                   T'),
      card('ZBITPIX', 16),
      card('ZNAXIS', 2),
      card('ZNAXIS1', 8),
      card('ZNAXIS2', 4),
      ...cards,
    ),
    PIXELS,
  );

/** Collects files and what must be said of them. */
class Writer {
  readonly files = new Map<string, Uint8Array>();
  readonly links = new Map<string, string>();
  readonly unnamed: { file: string; filter: string }[] = [];
  readonly skipped: { file: string; word: string }[] = [];
  readonly left = { calibration: 0, masters: 0 };
  readonly noon = { localTime: 0, longitude: 0, utc: 0 };
  readonly spelt = TARGETS.map(() => new Map<string, number>());
  readonly shots: Shot[] = [];
  private readonly rng: Random;

  constructor(rng: Random) {
    this.rng = rng;
  }

  private path(shot: Shot, name: string): string {
    return `${TARGETS[shot.target]!.folder}/${shot.evening}/lights/${name}`;
  }

  private cards(shot: Shot, filter: string | undefined, spelling: string | undefined): string[] {
    const { rng } = this;
    const kind = pick(rng, KINDS);
    const exposure = pick(rng, [
      card('EXPTIME', shot.seconds),
      card('EXPOSURE', shot.seconds),
      card('EXPTIME', text(shot.seconds.toFixed(3))),
    ]);
    return [
      ...(spelling === undefined ? [] : [card('OBJECT', text(spelling))]),
      ...(filter === undefined ? [] : [card('FILTER', text(filter))]),
      ...(kind === undefined ? [] : [card('IMAGETYP', text(kind))]),
      exposure,
      ...timeCards(rng, shot),
      card('GAIN', 100),
    ];
  }

  private spellingOf(target: number): string | undefined {
    const { spellings } = TARGETS[target]!;
    const draw = this.rng.uniform();
    if (draw < 0.12) return undefined;
    const spelling = draw < 0.75 ? spellings[0]! : pick(this.rng, spellings.slice(1));
    const name = spelling.trim();
    this.spelt[target]!.set(name, (this.spelt[target]!.get(name) ?? 0) + 1);
    return spelling;
  }

  /** A sub that counts: by its filter's name, or by its file's name behind a place in a wheel. */
  sub(shot: Shot, number: number): void {
    const numbered = this.rng.uniform() < 0.2;
    const filter = numbered ? PLACES[shot.line] : pick(this.rng, FILTERS[shot.line]);
    const name = numbered ? `Light_${shot.line}_${number}.fits` : `frame_${number}.fits`;
    const cards = this.cards(shot, filter, this.spellingOf(shot.target));
    const form = this.rng.uniform();
    if (form < 0.15) this.files.set(this.path(shot, `${name}.gz`), gzipSync(fits(cards)));
    else if (form < 0.25) this.files.set(this.path(shot, `${name}.fz`), packed(cards));
    else this.files.set(this.path(shot, form < 0.3 ? name.toUpperCase() : name), fits(cards));
    this.noon[shot.rig.noon]++;
    this.shots.push(shot);
  }

  /** A file that must not count. */
  other(shot: Shot, number: number): void {
    const { rng } = this;
    const whole = fits(this.cards(shot, 'Ha', 'Cinder Wing'));
    const set = (name: string, bytes: Uint8Array) => {
      const path = this.path(shot, name);
      this.files.set(path, bytes);
      return path;
    };
    const skip = (name: string, bytes: Uint8Array, word: string) => this.skipped.push({ file: set(name, bytes), word });
    const kind = (name: string) => fits([card('IMAGETYP', text(name)), card('EXPTIME', 2), card('FILTER', text('Ha'))]);
    const cases = [
      () => {
        set(`flat_${number}.fits`, kind(pick(rng, ['Flat Field', 'FLAT', 'Dark Frame', 'BIAS', 'DarkFlat', 'zero'])));
        this.left.calibration++;
      },
      () => {
        const stacked = [card('NCOMBINE', 20), card('EXPTIME', 300), card('OBJECT', text('Tarn 12'))];
        set(`m_${number}.fits`, pick(rng, [fits(stacked), kind('Master Light'), kind('master dark')]));
        this.left.masters++;
      },
      () => this.unnamed.push({ file: set(`wheel_${number}.fits`, fits(this.cards(shot, '4', 'Elan'))), filter: '4' }),
      () =>
        this.unnamed.push({ file: set(`red_${number}_H.fits`, fits(this.cards(shot, 'Red', 'Elan'))), filter: 'Red' }),
      () =>
        this.unnamed.push({ file: set(`none_${number}.fits`, fits(this.cards(shot, undefined, 'Elan'))), filter: '' }),
      () => skip(`cut_${number}.fits`, whole.subarray(0, 2880 + 20), 'ends early'),
      () => skip(`head_${number}.fits`, whole.subarray(0, 400), 'no END'),
      () => skip(`cut_${number}.fits.gz`, gzipSync(whole).subarray(0, -9), 'gzip'),
      () => skip(`empty_${number}.fits`, new Uint8Array(0), 'empty'),
      () => skip(`text_${number}.fits`, new TextEncoder().encode('once upon a time'), 'not a FITS file'),
      () => skip(`png_${number}.fit`, Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10), 'PNG'),
      () => skip(`log_${number}.txt`, new TextEncoder().encode('clouds at two'), 'by its name'),
      () => skip(`focus_${number}.fits`, kind('Focus'), 'Focus'),
      () => skip(`short_${number}.fits`, fits([card('FILTER', text('Ha'))]), 'no exposure'),
      () => {
        const path = this.path(shot, `link_${number}.fits`);
        this.links.set(path, pick(rng, ['frame_0.fits', 'nowhere.fits', '..', `link_${number}.fits`]));
        this.skipped.push({ file: path, word: 'link' });
      },
    ];
    cases[number % cases.length]!();
  }

  truth(): Truth {
    const targets = TARGETS.map((_, t) => ({
      target: [...this.spelt[t]!].sort(([, a], [, b]) => b - a)[0]![0],
      lines: LINES.flatMap((line) =>
        lineTruth(
          this.shots.filter((s) => s.target === t && s.line === line),
          line,
        ),
      ),
    })).filter(({ lines }) => lines.length > 0);
    const { unnamed, skipped, left, noon } = this;
    return { targets, unnamed, skipped, left, noon };
  }
}

const lineTruth = (shots: readonly Shot[], line: string): TallyLine[] => {
  if (shots.length === 0) return [];
  const dates = [...new Set(shots.map(({ evening }) => evening))].sort();
  const seconds = shots.reduce((sum, shot) => sum + shot.seconds, 0);
  const lengths = Object.fromEntries(
    [...new Set(shots.map((shot) => shot.seconds))].map((length) => [
      String(length),
      shots.filter((shot) => shot.seconds === length).length,
    ]),
  );
  const [first, last] = [dates[0], dates.at(-1)];
  return [{ line, subs: shots.length, hours: seconds / 3600, nights: dates.length, lengths, first, last }];
};

/** A folder of so many files with the habits of real headers, and the truth about it. */
export const drawSeason = (seed: number, count: number): Season => {
  const rng = random(seed, 77);
  const writer = new Writer(rng);
  for (let number = 0; number < count; number++) {
    const shot: Shot = {
      target: rng.next() % TARGETS.length,
      line: pick(rng, LINES),
      rig: pick(rng, RIGS),
      evening: `2026-0${1 + (rng.next() % 3)}-${two(1 + (rng.next() % 6))}`,
      // From early evening to a late dawn, so that noons differ.
      after: 6.5 + rng.uniform() * 11.2,
      seconds: pick(rng, [300, 300, 600, 120.5]),
    };
    // UTC tells nights of its own place alone.
    if (rng.uniform() < 0.85) writer.sub(shot, number);
    else writer.other(shot, number);
  }
  const { files, links } = writer;
  return { files, links, truth: writer.truth() };
};

/** Writes a season below a folder. */
export const writeSeason = ({ files, links }: Pick<Season, 'files' | 'links'>, folder: string): void => {
  const made = new Set<string>();
  const place = (name: string) => {
    const path = join(folder, name);
    const above = dirname(path);
    if (!made.has(above)) mkdirSync(above, { recursive: true });
    made.add(above);
    return path;
  };
  for (const [name, bytes] of files) writeFileSync(place(name), bytes);
  for (const [name, to] of links) symlinkSync(to, place(name));
};
