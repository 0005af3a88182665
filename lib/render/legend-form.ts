/** A strip below a picture that says what its colours mean. Plain data: any thread draws the same. */
export interface Legend {
  /** Rows of the picture above it. */
  readonly from: number;
  /** Each line with the colour of its brightest pixels, as samples of the picture, and what is said of it. */
  readonly entries: readonly { readonly colour: readonly number[]; readonly text: string }[];
  /** At the right. */
  readonly title: string;
  /** Of the strip and of its letters, as samples of the picture. */
  readonly ground: number;
  readonly ink: number;
}

/** Rows of the strip below a picture of so many columns. */
export const legendHeight = (width: number): number => Math.max(26, Math.round(width / 44));
