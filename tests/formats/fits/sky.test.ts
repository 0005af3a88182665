import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { plainBytes } from '../../../lib/formats/fits/bytes.ts';
import { readHeader } from '../../../lib/formats/fits/header.ts';
import { headerBytes } from '../../../lib/formats/fits/header-text.ts';
import { readSky, skyCards } from '../../../lib/formats/fits/sky.ts';
import { mixFiles } from '../../../lib/node/mix-files.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import type { Card } from '../../../lib/plane/facts.ts';
import { pictureNote } from '../../../lib/recipe/written/open.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { seededRandom } from '../../fuzz/mutate.ts';
import { hasModules, PYTHON } from '../../tools/python.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-sky-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);

type Values = Readonly<Record<string, string | number>>;
const FORMS = ['CD', 'PC', 'CROTA'] as const;

/** A random place, scale, turn and mirror in one of the forms that headers use; SIP terms bend it by pixels at the edge. */
const skyOf = (form: (typeof FORMS)[number], sip: boolean, random: () => number): Values => {
  const [turn, scale] = [360 * random(), (0.5 + 3 * random()) / 3600];
  const [x, y] = [random() < 0.5 ? -scale : scale, scale * (1 + 0.02 * random())];
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const term = () => (random() - 0.5) * 1e-3;
  const kind = ['TAN', 'SIN', 'ZEA'][Math.floor(3 * random())];
  return {
    CTYPE1: `RA---${kind}${sip ? '-SIP' : ''}`,
    CTYPE2: `DEC--${kind}${sip ? '-SIP' : ''}`,
    CRVAL1: 360 * random(),
    CRVAL2: 120 * random() - 60,
    CRPIX1: 80 * random() - 10,
    CRPIX2: 80 * random() - 10,
    ...(random() < 0.5 && { LONPOLE: 170 + 20 * random() }),
    ...(form === 'CD' && { CD1_1: x * cos, CD1_2: -y * sin, CD2_1: x * sin, CD2_2: y * cos, CDELT1: 1, CDELT2: 1 }),
    ...(form !== 'CD' && { CDELT1: x, CDELT2: y }),
    ...(form === 'PC' && { PC1_1: cos, PC1_2: -sin, PC2_1: sin, PC2_2: cos }),
    ...(form === 'CROTA' && { CROTA2: turn }),
    ...(sip && { A_ORDER: 3, A_2_0: term(), A_1_1: term(), A_0_2: term(), A_2_1: term() / 50 }),
    ...(sip && { B_ORDER: 2, B_2_0: term(), B_1_1: term(), B_0_2: term() }),
  };
};

const [WIDTH, HEIGHT] = [60, 45];
/** What is undefined around the frame: left, top, right, bottom. What is left can be divided by 3. */
const [LEFT, TOP, RIGHT, BOTTOM] = [5, 4, 7, 2];

/** A star of 3 × 3 pixels, which stays whole in a third of the size: column and row from the top left. */
const STAR = { x: LEFT + 3 * 9, y: TOP + 3 * 5 };

const valueAt = (x: number, y: number): number => {
  if (x < LEFT || y < TOP || x >= WIDTH - RIGHT || y >= HEIGHT - BOTTOM) return Number.NaN;
  const [dx, dy] = [x - STAR.x, y - STAR.y];
  return dx >= 0 && dx < 3 && dy >= 0 && dy < 3 ? 0.9 : 0.1;
};

const writeMaster = (name: string, order: string, cards: readonly Card[]): string => {
  const structure = { SIMPLE: true, BITPIX: -32, NAXIS: 2, NAXIS1: WIDTH, NAXIS2: HEIGHT, ROWORDER: order };
  const head = headerBytes([...Object.entries(structure).map(([keyword, value]) => ({ keyword, value })), ...cards]);
  const pixels = Buffer.alloc(Math.ceil((4 * WIDTH * HEIGHT) / 2880) * 2880);
  for (let row = 0; row < HEIGHT; row++)
    for (let x = 0; x < WIDTH; x++)
      pixels.writeFloatBE(valueAt(x, order === 'TOP-DOWN' ? row : HEIGHT - 1 - row), 4 * (row * WIDTH + x));
  writeFileSync(at(name), Buffer.concat([head, pixels]));
  return at(name);
};

const cardsOf = (values: Values): Card[] => Object.entries(values).map(([keyword, value]) => ({ keyword, value }));

const RECIPE: Recipe = {
  channels: ['S', 'H'],
  matrix: [
    [1, 0],
    [0, 1],
    [0.5, 0.5],
  ],
  background: { model: 'level', at: { S: 0, H: 0 } },
  levels: { S: { black: 0, white: 1 }, H: { black: 0, white: 1 } },
  stretch: { '*': { curve: 'linear' } },
};

/** Cropped, whole, and shrunk to a third; 12 masters take each with each form and order. */
const FRAMINGS = [{ crop: true }, {}, { crop: true, size: (WIDTH - LEFT - RIGHT) / 3 }];

/** Each form of header with and without a distortion, stored from the bottom and from the top. */
const masters = (random: () => number) =>
  FORMS.flatMap((form) =>
    ['BOTTOM-UP', 'TOP-DOWN'].flatMap((order) =>
      [false, true].map((sip) => {
        const cards = cardsOf(skyOf(form, sip, random));
        return { name: `${form}-${order}${sip ? '-sip' : ''}`, order, cards };
      }),
    ),
  );

const FACTS: Values = { OBJECT: 'Ember cloud', 'DATE-OBS': '2025-03-02T21:00:00', EXPTIME: 300, NCOMBINE: 24 };

/** Where the star lies in the sky by two files, as pixels between the two places. Planes are averaged. */
const JUDGE = `
import json, sys, warnings
import numpy as np
from astropy.io import fits
from astropy.wcs import WCS
from astropy.coordinates import SkyCoord
warnings.simplefilter('ignore')
out = []
for pair in json.load(sys.stdin):
    places = []
    for path in pair:
        with fits.open(path) as file:
            data, header = file[0].data, file[0].header
            image = np.nan_to_num(data if data.ndim == 2 else data.mean(axis=0))
            ys, xs = np.nonzero(image > 0.5)
            sky = WCS(header, naxis=2)
            places.append((sky.all_pix2world([[xs.mean(), ys.mean()]], 0)[0], np.sqrt(abs(np.linalg.det(sky.pixel_scale_matrix)))))
    (a, scale), (b, _) = places
    gap = SkyCoord(*a, unit='deg').separation(SkyCoord(*b, unit='deg')).deg
    out.append(gap / scale)
print(json.dumps(out))
`;

describe('the sky of a picture', () => {
  it.runIf(hasModules('astropy', 'numpy'))(
    'is that of its masters, cropped or shrunk, as astropy reads it',
    async () => {
      const seed = Number(process.env.LINEWASH_SEED ?? Math.floor(1e6 * Math.random()));
      const random = seededRandom(seed);
      const pairs: [string, string][] = [];
      const S = writeMaster('S.fits', 'BOTTOM-UP', []);
      for (const [i, { name, order, cards }] of masters(random).entries()) {
        const H = writeMaster(`${name}.fits`, order, cards);
        const output = at(`${name}-mixed.fits`);
        await mixFiles({ recipe: RECIPE, inputs: { S, H }, output, threads: 1, ...FRAMINGS[i % FRAMINGS.length] });
        pairs.push([H, output]);
      }
      const gaps = JSON.parse(execFileSync(PYTHON, ['-c', JUDGE], { input: JSON.stringify(pairs), encoding: 'utf8' }));
      expect(gaps).toHaveLength(pairs.length);
      for (const [i, gap] of gaps.entries()) expect(gap, `seed ${seed}: ${pairs[i]![1]}`).toBeLessThan(1e-6);
    },
  );

  it('is left out where a part of it cannot be carried', () => {
    const whole = skyOf('CD', true, seededRandom(1));
    expect(readSky(cardsOf(whole), HEIGHT)).toBeDefined();
    const { CTYPE1: _, ...nameless } = whole;
    const { CRVAL2: __, ...placeless } = whole;
    const broken: Values[] = [
      nameless,
      placeless,
      { ...whole, CTYPE1: 'RA---TNX' },
      { ...whole, CTYPE1: 'DEC--TAN-SIP' },
      { ...whole, CTYPE2: 'VELO-LSR' },
      { ...whole, CPDIS1: 'Lookup' },
      { ...whole, CRPIX1: '12' },
      { ...whole, A_2_0: 'x' },
      { ...whole, A_ORDER: 12 },
      { ...whole, CD1_1: 0, CD1_2: 0 },
    ];
    for (const values of broken) expect(readSky(cardsOf(values), HEIGHT), JSON.stringify(values)).toBeUndefined();
  });

  it('is only that of the picture: other axes and descriptions stay behind', () => {
    const cards = cardsOf({ ...skyOf('PC', false, seededRandom(2)), CTYPE3: 'FREQ', CTYPE1A: 'GLON-TAN', PV3_1: 1 });
    const written = skyCards(readSky(cards, HEIGHT)!, 3).map(({ keyword }) => keyword);
    expect(written.filter((keyword) => /3_3|3$|A$|PV/.test(keyword))).toEqual(['CD3_3']);
  });
});

describe('facts of the masters', () => {
  const inputs = () => ({
    S: writeMaster('fS.fits', 'BOTTOM-UP', cardsOf({ ...FACTS, 'DATE-OBS': '2025-02-27', 'DATE-END': '2025-03-09' })),
    H: writeMaster('fH.fits', 'BOTTOM-UP', cardsOf({ ...FACTS, ...skyOf('CD', false, seededRandom(3)) })),
  });

  it('stand in FITS keywords and in the note of every format', async () => {
    for (const ending of ['fits', 'tif', 'png']) {
      const output = at(`facts.${ending}`);
      await mixFiles({ recipe: RECIPE, inputs: inputs(), output, threads: 1, crop: true });
      const { facts } = JSON.parse((await pictureNote(memorySource(output, readFileSync(output))))!);
      const { sky, ...rest } = facts;
      expect(rest).toEqual({
        object: 'Ember cloud',
        dateStart: '2025-02-27',
        dateEnd: '2025-03-09',
        hours: { S: 2, H: 2 },
      });
      expect(sky.CTYPE1).toMatch(/^RA---/);
    }
    const { cards } = await readHeader(plainBytes(memorySource('facts.fits', readFileSync(at('facts.fits')))), 0);
    const value = (keyword: string) => cards.find((card) => card.keyword === keyword)?.value;
    expect(['OBJECT', 'DATE-OBS', 'DATE-END', 'LINE1', 'LINEXP1', 'LINE2', 'LINEXP2'].map(value)).toEqual([
      'Ember cloud',
      '2025-02-27',
      '2025-03-09',
      'S',
      7200,
      'H',
      7200,
    ]);
  });

  it('are absent where masters say nothing or contradict each other', async () => {
    const { H } = inputs();
    const other = writeMaster('other.fits', 'BOTTOM-UP', cardsOf({ OBJECT: 'Rim', 'DATE-OBS': 'last winter' }));
    const output = at('contradiction.tif');
    await mixFiles({ recipe: RECIPE, inputs: { S: other, H }, output, threads: 1 });
    const { facts } = JSON.parse((await pictureNote(memorySource(output, readFileSync(output))))!);
    expect(Object.keys(facts).sort()).toEqual(['dateStart', 'hours', 'sky']);
    expect(facts.hours).toEqual({ H: 2 });
    const silent = { S: writeMaster('s.fits', 'BOTTOM-UP', []), H: writeMaster('h.fits', 'BOTTOM-UP', []) };
    await mixFiles({ recipe: RECIPE, inputs: silent, output, threads: 1, force: true });
    expect(await pictureNote(memorySource(output, readFileSync(output)))).not.toContain('"facts"');
  });
});
