interface Kind {
  readonly ending: string;
  readonly sample?: string;
}

const SAMPLE_BYTES: Readonly<Record<string, number>> = { u8: 1, u16: 2, f32: 4 };

/** About how large a picture file becomes, in words; PNG is packed and stays below. */
export const pictureBytes = (pixels: number, { ending, sample }: Kind): string => {
  const bytes = pixels * 3 * (SAMPLE_BYTES[sample ?? ''] ?? 0);
  const [size, unit] = bytes >= 1e9 ? [bytes / 1e9, 'GB'] : [bytes / 1e6, 'MB'];
  return `${ending === 'png' ? 'up to ' : ''}${size.toFixed(size < 10 ? 1 : 0)} ${unit}`;
};
