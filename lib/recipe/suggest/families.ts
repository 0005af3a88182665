import { wavelengthOf } from './lines.ts';

/** Hues that a mix of three lines aims at, in OKLab degrees. */
export interface Family {
  /** Name of a file, without its ending. */
  readonly id: string;
  readonly name: string;
  /** From the longest wavelength to the shortest, where at least two of the lines are red. */
  readonly twoRed: readonly number[];
  /** The same where at most one is. */
  readonly oneRed: readonly number[];
}

export const FAMILIES: readonly Family[] = [
  { id: 'amber-gold-blue', name: 'Amber, gold and blue', twoRed: [52, 84, 248], oneRed: [66, 205, 272] },
  { id: 'rust-red-teal', name: 'Rust, red and teal', twoRed: [35, 12, 205], oneRed: [18, 180, 240] },
  { id: 'gold-rose-blue', name: 'Gold, rose and blue', twoRed: [80, 5, 240], oneRed: [5, 235, 85] },
  { id: 'brick-gold-sea', name: 'Brick, gold and sea', twoRed: [20, 80, 215], oneRed: [40, 192, 255] },
];

/** Lines beyond this wavelength in nm look red. */
const RED = 600;

/** The hues of a family for three lines, by falling wavelength; lines that are not recognised count as red from the first on. */
export const huesFor = (family: Family, names: readonly string[]): readonly number[] => {
  const red = names.filter((name, i) => (wavelengthOf(name) ?? (i < 2 ? RED + 1 : 0)) > RED).length;
  return red >= 2 ? family.twoRed : family.oneRed;
};

/** Where one hue ends and the next begins, in OKLab degrees, with what each is called. */
const WORDS: readonly (readonly [number, string])[] = [
  [22, 'rose'],
  [42, 'red'],
  [66, 'amber'],
  [98, 'gold'],
  [122, 'yellow'],
  [165, 'green'],
  [220, 'teal'],
  [275, 'blue'],
  [318, 'violet'],
  [345, 'magenta'],
];

export const hueWord = (hue: number): string => {
  const inTurn = ((hue % 360) + 360) % 360;
  return WORDS.find(([end]) => inTurn < end)?.[1] ?? 'rose';
};
