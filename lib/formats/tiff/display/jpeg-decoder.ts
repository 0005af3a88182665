/** The decoder of JPEG among those of geotiff. The build puts it into this file: geotiff need not be installed. */
export { getDecoder } from 'geotiff';
