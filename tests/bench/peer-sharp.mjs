// What libvips can do of the mix: levels and matrix, without a curve, from float TIFF planes to a 16-bit TIFF.
import sharp from 'sharp';

const [folder, out] = process.argv.slice(2);
sharp.cache(false);
const raw = { limitInputPixels: false };
const scale = 65535 / (1 - 0.012);
await sharp(`${folder}/S.tif`, raw)
  .joinChannel([`${folder}/H.tif`, `${folder}/O.tif`], raw)
  .linear([scale, scale, scale], [-0.012 * scale, -0.012 * scale, -0.012 * scale])
  .recomb([
    [0.85, 0.15, 0],
    [0.25, 0.65, 0.1],
    [-0.05, 0.1, 0.95],
  ])
  .toColourspace('rgb16')
  .tiff({ compression: 'none' })
  .toFile(out);
