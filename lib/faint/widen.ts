/** Marks on a grid, and all places at most so many columns and rows away from one. */
export const widened = (
  { width, height, marks }: { readonly width: number; readonly height: number; readonly marks: Uint8Array },
  reach: number,
): Uint8Array => {
  const across = spread(marks, height, width, width, 1, reach);
  return spread(across, width, height, 1, width, reach);
};

/** Marks along lines of `count` values that lie `step` apart, the lines `between` apart. */
const spread = (
  marks: Uint8Array,
  lines: number,
  count: number,
  between: number,
  step: number,
  reach: number,
): Uint8Array => {
  const out = new Uint8Array(marks.length);
  for (let line = 0; line < lines; line++) {
    const start = line * between;
    let last = -Infinity;
    for (let i = 0; i < count; i++) {
      if (marks[start + i * step] === 1) last = i;
      if (i - last <= reach) out[start + i * step] = 1;
    }
    last = Infinity;
    for (let i = count - 1; i >= 0; i--) {
      if (marks[start + i * step] === 1) last = i;
      if (last - i <= reach) out[start + i * step] = 1;
    }
  }
  return out;
};
