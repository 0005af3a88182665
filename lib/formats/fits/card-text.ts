/** Stands for a byte that is no letter, so that no header can steer a terminal. */
export const UNPRINTABLE = '\ufffd';

/** One letter of two to four bytes as UTF-8 writes it (RFC 3629), each byte as the character of its number. */
const UTF8 = /[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}|[\xf0-\xf4][\x80-\xbf]{3}/g;

const decoder = new TextDecoder('utf-8', { ignoreBOM: true });

const decoded = (letter: string): string => {
  const text = decoder.decode(Uint8Array.from(letter, (byte) => byte.charCodeAt(0)));
  // Overlong forms and surrogates are no UTF-8: such bytes stay as they are.
  return text.includes(UNPRINTABLE) ? letter : text;
};

/**
 * The bytes of a card as text. Cards are ASCII by the standard (4.0, section 4.2.1.1); names outside it are common all
 * the same, mostly as UTF-8, which is decoded letter by letter, so that a card cut within a letter keeps the others. Other
 * bytes are taken for Latin-1. Control characters become U+FFFD.
 */
export const cardText = (bytes: Uint8Array): string => {
  const raw = String.fromCharCode(...bytes);
  if (/^[\x20-\x7e]*$/.test(raw)) return raw;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is replaced
  return raw.replace(UTF8, decoded).replace(/[\x00-\x1f\x7f-\x9f]/g, UNPRINTABLE);
};
