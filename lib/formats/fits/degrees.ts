const NUMBER = /\d+(?:\.\d+)?/g;

/**
 * A geographic longitude in degrees east, -180…180: a number, or degrees, minutes and seconds with whatever stands between
 * them; a W or a minus sign says west. Undefined for what is no longitude.
 */
export const degreesEast = (text: string): number | undefined => {
  const parts = (text.match(NUMBER) ?? []).map(Number);
  const [degrees, minutes = 0, seconds = 0] = parts;
  if (degrees === undefined || parts.length > 3 || minutes >= 60 || seconds >= 60) return undefined;
  if (/[a-z]/i.test(text.replace(/deg|min|sec|[dmsew]/gi, ''))) return undefined;
  const west = /^\s*[-−]/.test(text) !== /w/i.test(text);
  const size = degrees + minutes / 60 + seconds / 3600;
  if (size > 360) return undefined;
  const east = west ? -size : size;
  return east > 180 ? east - 360 : east < -180 ? east + 360 : east;
};
