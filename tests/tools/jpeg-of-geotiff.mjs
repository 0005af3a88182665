import { fileURLToPath } from 'node:url';

const MARK = '\0jpeg-of-geotiff';
const jpeg = fileURLToPath(new URL('../../node_modules/geotiff/dist-module/compression/jpeg.js', import.meta.url));

/**
 * Builds in the one decoder of geotiff that linewash uses, and not what reads and writes whole files: that is fifty times
 * as large, and some of it loads code in ways that the page's content security policy forbids.
 * @returns {import('vite').Plugin}
 */
export const jpegOfGeotiff = () => ({
  name: 'jpeg-of-geotiff',
  apply: 'build',
  enforce: 'pre',
  resolveId: (source) => (source === 'geotiff' ? MARK : null),
  load: (id) =>
    id === MARK
      ? `import JpegDecoder from ${JSON.stringify(jpeg)};
         export const getDecoder = async (_, parameters) => new JpegDecoder(parameters);`
      : null,
});
