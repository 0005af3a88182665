import type { PictureInfo } from '../../plane/picture.ts';
import { iccProfile } from '../icc.ts';
import { LONGEST, MARK, segment } from './marks.ts';
import { CODES, type CodeTable, STEPS, ZIGZAG } from './tables.ts';

const latin = (text: string): number[] => Array.from(text, (c) => c.charCodeAt(0));
const two = (value: number): number[] => [value >> 8, value & 255];

/** JFIF 1.01 (ITU-T T.871): square pixels of no stated size, no small picture. Three components are then Y, Cb, Cr. */
const jfif = (): Uint8Array => segment(MARK.jfif, latin('JFIF\0'), [1, 1, 0, 0, 1, 0, 1, 0, 0]);

/** The profile as the first and only part (ICC.1:2022 Annex B.4). */
const profile = (info: PictureInfo): Uint8Array =>
  segment(MARK.profile, latin('ICC_PROFILE\0'), [1, 1], iccProfile(info.space));

/** The note as comments (§B.2.4.5). One that is full is followed by another, which may be empty. */
const comments = (note: string): Uint8Array[] => {
  const parts = note === '' ? 0 : Math.floor(note.length / LONGEST) + 1;
  return Array.from({ length: parts }, (_, i) =>
    segment(MARK.comment, latin(note.slice(i * LONGEST, (i + 1) * LONGEST))),
  );
};

const steps = (number: number, kind: keyof typeof STEPS): Uint8Array =>
  segment(
    MARK.steps,
    [number],
    Array.from(ZIGZAG, (place) => STEPS[kind][place]!),
  );

/** @param kind 0 for first coefficients, 16 for others, plus the table's number */
const codes = (kind: number, { counts, symbols }: CodeTable): Uint8Array =>
  segment(MARK.codes, [kind], counts, symbols);

/** Eight bits, three components, none of them coarser than pixels. */
const frame = ({ width, height }: PictureInfo): Uint8Array =>
  segment(MARK.frame, [8], two(height), two(width), [3], [1, 0x11, 0], [2, 0x11, 1], [3, 0x11, 1]);

/** All that stands before the picture's blocks; a restart follows each row of blocks. */
export const headOf = (info: PictureInfo): Uint8Array[] => [
  Uint8Array.of(0xff, MARK.start),
  jfif(),
  profile(info),
  ...comments(info.note),
  steps(0, 'lightness'),
  steps(1, 'colour'),
  frame(info),
  codes(0x00, CODES.lightness.first),
  codes(0x10, CODES.lightness.rest),
  codes(0x01, CODES.colour.first),
  codes(0x11, CODES.colour.rest),
  segment(MARK.interval, two(Math.ceil(info.width / 8))),
  segment(MARK.scan, [3], [1, 0x00], [2, 0x11], [3, 0x11], [0, 63, 0]),
];
