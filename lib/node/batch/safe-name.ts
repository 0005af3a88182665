import { createHash } from 'node:crypto';
import { cutBytes } from '../files/temporary.ts';

/**
 * Characters a file name keeps: letters, marks and digits of any script, the plain space, and signs that neither a file
 * system nor a shell's listing trips over. Control, bidirectional and zero-width characters, separators and
 * wildcards are not among them.
 */
const OTHERS = /[^\p{L}\p{M}\p{N} \-_.+()[\]{}&,'@#=!~%^]/gu;

/** Names that one widespread system keeps for its devices, with any ending. */
const DEVICE = /^(con|prn|aux|nul|(com|lpt)[0-9¹²³]|conin\$|conout\$)(\.|$)/i;

/** Marks a name that was cut, so that two long names with one start stay two. */
const mark = (text: string): string => `~${createHash('sha256').update(text).digest('hex').slice(0, 6)}`;

/**
 * A text as the name of one file or folder that every system takes: Unicode NFC, `_` for each character that is not
 * allowed, for a dash or dot in front and a dot or space at the end, and in front of a device's name; cut to `most` bytes
 * of UTF-8. Never empty. A safe name is returned as it is.
 */
export const safeName = (text: string, most = 120): string => {
  const plain = text
    .normalize('NFC')
    .replace(OTHERS, '_')
    .replace(/^[-. ]/, '_')
    .replace(/[. ]$/, '_');
  const name = plain === '' || DEVICE.test(plain) ? `_${plain}` : plain;
  if (Buffer.byteLength(name) <= most) return name;
  const cut = cutBytes(name, most - 7).replace(/[. ]$/, '_');
  return cut + mark(text.normalize('NFC'));
};

/**
 * Equal for two names that some file system takes for one: Unicode form and case make no difference. Some capital letters
 * meet their small ones only on the way down (ẞ), some small ones only on the way up (ς).
 */
export const nameKey = (name: string): string => name.normalize('NFC').toLowerCase().toUpperCase().normalize('NFC');
