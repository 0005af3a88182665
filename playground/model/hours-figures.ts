/** A share 0…1 in percent with two significant digits at most, whole from ten on: `0.4 %`, `31 %`. */
export const showPercent = (share: number): string => {
  const percent = 100 * share;
  const digits = Math.abs(percent) < 0.995 ? 2 : Math.abs(percent) < 9.95 ? 1 : 0;
  return `${String(Number(percent.toFixed(digits))).replace('-', '−')} %`;
};

/** Hours for reading: one decimal below ten where it says something, whole from a hundred on. */
export const showHours = (hours: number): string => `${Number(hours.toFixed(hours < 100 ? 1 : 0))} h`;

/** Noise on the scale from 0 (black) to 1 (white), in thousandths of white. */
export const showNoise = (noise: number): string => {
  const thousandths = 1000 * noise;
  return thousandths.toFixed(thousandths < 0.995 ? 2 : thousandths < 99.5 ? 1 : 0);
};

/** A signal-to-noise ratio for reading. */
export const showSnr = (snr: number): string => snr.toFixed(snr < 9.95 ? 1 : 0);

const ENDS = [10, 20, 30, 50];

/** A round number of hours, no less than `hours`: 10, 20, 30, 50, 100, 200, … */
export const roundHours = (hours: number): number => {
  let scale = 1;
  for (;;) {
    const end = ENDS.find((e) => e * scale >= hours);
    if (end !== undefined) return end * scale;
    scale *= 10;
  }
};

/** Where the axis of hours to come ends: well beyond what was spent so far, and beyond what was ever typed in. */
export const axisEnd = (spent: number, typed: number): number => roundHours(Math.max(1.5 * spent, typed));
