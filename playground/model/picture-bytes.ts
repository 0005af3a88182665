interface Kind {
  readonly ending: string;
  readonly sample?: string;
}

const SAMPLE_BYTES: Readonly<Record<string, number>> = { u8: 1, u16: 2, f32: 4 };

/** How many bytes the pixels of a picture file have before they are packed. */
export const bytesOf = (pixels: number, { sample }: Kind): number => pixels * 3 * (SAMPLE_BYTES[sample ?? ''] ?? 0);

const PACKED: readonly string[] = ['png', 'jpg'];

/** About how large a picture file becomes, in words; PNG and JPEG are packed and stay below. */
export const pictureBytes = (pixels: number, kind: Kind): string => {
  const bytes = bytesOf(pixels, kind);
  const [size, unit] = bytes >= 1e9 ? [bytes / 1e9, 'GB'] : [bytes / 1e6, 'MB'];
  return `${PACKED.includes(kind.ending) ? 'up to ' : ''}${size.toFixed(size < 10 ? 1 : 0)} ${unit}`;
};
