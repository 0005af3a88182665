import type { ProbeAnswer, ProbedColour } from '../../lib/work/probe.ts';

/** A display value or a weight's part: three decimals, a true minus. */
export const showPart = (value: number): string =>
  value
    .toFixed(3)
    .replace(/^-0\.000$/, '0.000')
    .replace('-', '−');

/** What each line has of all that is brought to one colour, 0…1; of sizes, where some take away. */
export const sharesOf = ({ lines }: ProbeAnswer, band: number): number[] => {
  const sizes = lines.map(({ brings }) => Math.abs(brings[band]!));
  const all = sizes.reduce((sum, size) => sum + size, 0);
  return sizes.map((size) => (all > 0 ? size / all : 0));
};

/** A colour for the style of a patch. */
export const cssOf = ({ rgb }: ProbedColour, space: ProbeAnswer['space']): string =>
  `color(${space} ${rgb.map((v) => v.toFixed(5)).join(' ')})`;

const ROUNDING = 1e-6;

/** Which colours the mix asks for beyond their range: positions of red, green, blue. */
export const beyond = ({ mixed }: ProbeAnswer): { outside: number[]; full: number[] } => {
  const at = (test: (v: number) => boolean) => (mixed ?? []).flatMap((v, band) => (test(v) ? [band] : []));
  return { outside: at((v) => v < -ROUNDING), full: at((v) => v >= 1 - ROUNDING) };
};

/** The answer as JSON for notes and tables; what is not known is left out. */
export const probeJson = (answer: ProbeAnswer, about: Readonly<Record<string, unknown>>): string =>
  `${JSON.stringify({ ...about, ...answer }, null, 2)}\n`;
