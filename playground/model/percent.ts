/** A share, 0…1, as people read it: what is there is never called 0.0 %. */
export const percentOf = (part: number): string => `${part > 0 && part < 0.001 ? '< 0.1' : (100 * part).toFixed(1)} %`;
