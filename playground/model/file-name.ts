const DEVICES = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

/**
 * A file name without ending from any text: letters, digits, blanks and a few marks; never a separator, a leading dot
 * or dash, a trailing dot or blank, or a name that a system keeps for a device.
 */
export const fileStem = (name: string): string => {
  const safe = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N} ()_+.-]/gu, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[ .-]+|[ .]+$/g, '')
    .slice(0, 60)
    .trimEnd();
  return safe === '' || DEVICES.test(safe) ? `mix ${safe}`.trim() : safe;
};
