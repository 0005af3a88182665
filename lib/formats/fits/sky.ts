import type { Card } from '../../plane/facts.ts';
import { type Sky, type SkyDistortion, skyTurnedOver } from '../../plane/sky.ts';

type Lookup = (keyword: string) => Card['value'];

/** A longitude and a latitude of one system, in either order. */
const SYSTEMS: readonly (readonly [string, string])[] = [
  ['RA', 'DEC'],
  ['GLON', 'GLAT'],
  ['ELON', 'ELAT'],
];

/** Projections whose terms stand in tables or strings, which are not carried: without them positions would be wrong. */
const TABLED = /-(TAB|TNX|ZPX)/;

/** Distortions in lookup tables (CPDIS, CQDIS, and those of detectors). */
const TABLES = /^(CPDIS|CQDIS|D2IMDIS|D2IM_ERR)\d?$/;

/** Keywords whose value must be a number, and the order of a distortion a small whole one. */
const NUMBERS = /^(CRPIX[12]|CRVAL[12]|CDELT[12]|CROTA2|(CD|PC)[12]_[12]|(A|B|AP|BP)_(ORDER|\d_\d))$/;
const ORDER = /_ORDER$/;
const HIGHEST_ORDER = 9;

const CONSTANT = /^(CUNIT[12]|LONPOLE|LATPOLE|RADESYS|RADECSYS|EQUINOX|EPOCH|PV[12]_\d{1,2})$/;

/**
 * The primary world coordinates in a header, with rows counted from the bottom: CD, PC with CDELT, CDELT with CROTA2, SIP
 * terms, and PV parameters (FITS standard 4.0, section 8; SIP is a convention). Undefined where there are none, where they
 * are no celestial pair, and where they need tables: a position is right or absent. Descriptions with a letter
 * (`CTYPE1A`) are left out.
 * @param height rows of the picture, which a header whose first row is the top needs
 */
export const readSky = (cards: readonly Card[], height: number): Sky | undefined => {
  const values = new Map<string, Card['value']>();
  for (const { keyword, value } of cards) if (!values.has(keyword)) values.set(keyword, value);
  const look: Lookup = (keyword) => values.get(keyword);
  const axes = axesOf(look);
  const value = [look('CRVAL1'), look('CRVAL2')] as const;
  const matrix = matrixOf(look);
  if (axes === undefined || matrix === undefined || !isNumber(value[0]) || !isNumber(value[1])) return undefined;
  if (cards.some((card) => isTable(card) || isBroken(card))) return undefined;
  const sky: Sky = {
    axes,
    value: [value[0], value[1]],
    pixel: [numberAt(look, 'CRPIX1', 0), numberAt(look, 'CRPIX2', 0)],
    matrix,
    distortion: distortionOf(values),
    constants: constantsOf(values),
  };
  return text(look('ROWORDER'))?.toUpperCase() === 'TOP-DOWN' ? skyTurnedOver(sky, height) : sky;
};

const isTable = ({ keyword, value }: Card): boolean => TABLES.test(keyword) && value !== 0;

const isBroken = ({ keyword, value }: Card): boolean =>
  NUMBERS.test(keyword) && !(isNumber(value) && (!ORDER.test(keyword) || isOrder(value)));

const isOrder = (value: number): boolean => Number.isInteger(value) && value >= 0 && value <= HIGHEST_ORDER;

const isNumber = (value: Card['value']): value is number => typeof value === 'number' && Number.isFinite(value);

const text = (value: Card['value']): string | undefined => (typeof value === 'string' ? value.trim() : undefined);

const numberAt = (look: Lookup, keyword: string, absent: number): number => {
  const value = look(keyword);
  return isNumber(value) ? value : absent;
};

const axesOf = (look: Lookup): Sky['axes'] | undefined => {
  const [first, second] = [text(look('CTYPE1')), text(look('CTYPE2'))];
  if (first === undefined || second === undefined || TABLED.test(first) || TABLED.test(second)) return undefined;
  const names = [first, second].map((axis) => /^([A-Z]+)-+[A-Z]{3}(-SIP)?$/.exec(axis)?.[1]);
  const isPair = SYSTEMS.some((pair) => pair.every((name) => names.includes(name)));
  return isPair ? [first, second] : undefined;
};

/** CD where any of it is given, else CDELT times PC or a turn by CROTA2; undefined where no scale is given, it is not finite, or it has no inverse. */
const matrixOf = (look: Lookup): Sky['matrix'] | undefined => {
  const table = (name: string, diagonal: number): Sky['matrix'] => [
    [numberAt(look, `${name}1_1`, diagonal), numberAt(look, `${name}1_2`, 0)],
    [numberAt(look, `${name}2_1`, 0), numberAt(look, `${name}2_2`, diagonal)],
  ];
  const given = (name: string) => ['1_1', '1_2', '2_1', '2_2'].some((place) => isNumber(look(name + place)));
  const found = given('CD') ? table('CD', 0) : scaled(look, given('PC') ? table('PC', 1) : undefined);
  if (found === undefined) return undefined;
  const [[a, b], [c, d]] = found;
  // A product of finite numbers need not be finite: then there is no scale to write.
  return a * d === b * c || !found.flat().every(Number.isFinite) ? undefined : found;
};

const scaled = (look: Lookup, pc: Sky['matrix'] | undefined): Sky['matrix'] | undefined => {
  const [x, y] = [look('CDELT1'), look('CDELT2')];
  if (!isNumber(x) || !isNumber(y)) return undefined;
  if (pc) {
    const [[a, b], [c, d]] = pc;
    return [
      [x * a, x * b],
      [y * c, y * d],
    ];
  }
  const turn = (numberAt(look, 'CROTA2', 0) * Math.PI) / 180;
  return [
    [x * Math.cos(turn), -y * Math.sin(turn)],
    [x * Math.sin(turn), y * Math.cos(turn)],
  ];
};

const distortionOf = (values: ReadonlyMap<string, Card['value']>): SkyDistortion => {
  const found: Record<string, unknown> = {};
  for (const name of ['A', 'B', 'AP', 'BP']) {
    const order = values.get(`${name}_ORDER`);
    if (!isNumber(order)) continue;
    const terms: unknown[] = [];
    for (let p = 0; p <= order; p++)
      for (let q = 0; p + q <= order; q++) {
        const value = values.get(`${name}_${p}_${q}`);
        if (isNumber(value) && value !== 0) terms.push({ p, q, value });
      }
    found[name] = { order, terms };
  }
  return found as SkyDistortion;
};

const constantsOf = (values: ReadonlyMap<string, Card['value']>): Sky['constants'] => {
  const found: Record<string, string | number> = {};
  for (const [keyword, value] of values)
    if (CONSTANT.test(keyword) && (isNumber(value) || (typeof value === 'string' && /^[ -~]*$/.test(value))))
      found[keyword] = value;
  return found;
};

/** The keywords of a sky and their values, for a picture whose first stored row is the bottom. */
export const skyKeywords = (sky: Sky): Readonly<Record<string, string | number>> => {
  const { axes, value, pixel, matrix, distortion, constants } = sky;
  const keywords: Record<string, string | number> = {};
  for (const i of [0, 1] as const) {
    keywords[`CTYPE${i + 1}`] = axes[i];
    keywords[`CRVAL${i + 1}`] = value[i];
    keywords[`CRPIX${i + 1}`] = pixel[i];
    for (const j of [0, 1] as const) keywords[`CD${i + 1}_${j + 1}`] = matrix[i][j];
  }
  for (const [name, { order, terms }] of Object.entries(distortion)) {
    keywords[`${name}_ORDER`] = order;
    for (const { p, q, value } of terms) keywords[`${name}_${p}_${q}`] = value;
  }
  return { ...keywords, ...constants };
};

/** A sky as cards of a picture with this many axes; those after the second are plain numbers. */
export const skyCards = (sky: Sky, naxis: number): Card[] => [
  { keyword: 'WCSAXES', value: naxis },
  ...Object.entries(skyKeywords(sky)).map(([keyword, value]) => ({ keyword, value })),
  // Where some CDi_j are given, those that are not are 0: readers of all axes would find no inverse.
  ...Array.from({ length: naxis - 2 }, (_, k) => ({ keyword: `CD${k + 3}_${k + 3}`, value: 1 })),
];
