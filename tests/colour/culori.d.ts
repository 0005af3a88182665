/** The part of culori that the tests compare with; the package has no types of its own. */
declare module 'culori' {
  export type Colour = { mode: string; alpha?: number; [channel: string]: number | string | undefined };
  export const converter: (mode: string) => (colour: Colour | string) => Colour;
  export const differenceCiede2000: () => (one: Colour, other: Colour) => number;
  export const filterDeficiencyProt: (severity: number) => (colour: Colour) => Colour;
  export const filterDeficiencyDeuter: (severity: number) => (colour: Colour) => Colour;
  export const filterDeficiencyTrit: (severity: number) => (colour: Colour) => Colour;
  export const parse: (text: string) => Colour | undefined;
  export const wcagContrast: (one: Colour | string, other: Colour | string) => number;
}
