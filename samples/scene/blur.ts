/** Full width at half maximum of a Gaussian over its standard deviation: 2·√(2·ln 2). */
export const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.log(2));

const kernelOf = (fwhm: number, reach: number): Float64Array => {
  const sigma = fwhm / FWHM_PER_SIGMA;
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigma * sigma)),
  );
  const sum = kernel.reduce((a, b) => a + b, 0);
  return kernel.map((k) => k / sum);
};

/**
 * Gaussian blur, `fwhm` pixels wide, of a picture that carries a margin on each side; the kernel reaches as far as the
 * margin, which is cut off. `width` and `height` are those of the result.
 */
export const blurred = (
  padded: Float32Array,
  width: number,
  height: number,
  margin: number,
  fwhm: number,
): Float32Array => {
  const kernel = kernelOf(fwhm, margin);
  const span = kernel.length;
  const paddedWidth = width + 2 * margin;
  const paddedHeight = height + 2 * margin;
  const rows = new Float32Array(width * paddedHeight);
  for (let y = 0; y < paddedHeight; y++)
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let k = 0; k < span; k++) sum += kernel[k]! * padded[y * paddedWidth + x + k]!;
      rows[y * width + x] = sum;
    }
  const result = new Float32Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let k = 0; k < span; k++) sum += kernel[k]! * rows[(y + k) * width + x]!;
      result[y * width + x] = sum;
    }
  return result;
};
