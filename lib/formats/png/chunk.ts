import { crc32 } from '../crc32.ts';
import { adler32 } from '../deflate/zlib.ts';

/** The eight bytes every PNG begins with (§5.2). */
export const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);

export const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));

/** A whole chunk: length, type, data in the given parts, CRC (§5.3). */
export const chunk = (type: string, ...parts: readonly Uint8Array[]): Uint8Array => {
  const length = parts.reduce((sum, part) => sum + part.length, 0);
  const bytes = new Uint8Array(12 + length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, length);
  bytes.set(latin1(type), 4);
  let at = 8;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  view.setUint32(at, crc32(bytes.subarray(4, at)));
  return bytes;
};

/** A zlib stream that holds up to 65,535 bytes as they are (RFC 1951 §3.2.4): the same bytes on every platform. */
export const zlibStored = (data: Uint8Array): Uint8Array => {
  const bytes = new Uint8Array(data.length + 11);
  const view = new DataView(bytes.buffer);
  bytes.set([0x78, 0x01, 0x01]);
  view.setUint16(3, data.length, true);
  view.setUint16(5, ~data.length, true);
  bytes.set(data, 7);
  view.setUint32(7 + data.length, adler32(data));
  return bytes;
};
