/** Frames that the zstd command line 1.5.4 wrote, with checksums, and what they hold. */
export interface KeptFrame {
  readonly name: string;
  readonly plain: Uint8Array;
  readonly base64: string;
}

const TEXT = new TextEncoder().encode(
  Array.from({ length: 120 }, (_, i) => `line ${(i * i) % 97} of the sky; `).join(''),
);
const ZEROS = new Uint8Array(9000);

export const ZSTD_FRAMES: readonly KeptFrame[] = [
  {
    name: 'text, zstd -19',
    plain: TEXT,
    base64:
      'KLUv/QRoVQUAIkwcFLBpOD9UyVLyMCJHSplkSun4JQ4Gc33Ct+yPao45XHmp9hiu8rJXtesQkg+JLGTRLt1OP5mlvSVUhnRkaoRa' +
      'p7Hk/7RJ9yLSQjSU0yGuemW/KtwxrRS/Gpyx2ZFffoVfeQZgUUgYgYHCECCMwwgcCIZhqCEovf0zoF12AxJIEHgEgen3v/YOw4i3' +
      'wK6gUxyBxAt0H23nQVXZgd8/aoI2HsKTwDaArALrczkW',
  },
  {
    name: 'text, zstd --fast=3',
    plain: TEXT,
    base64:
      'KLUv/QRIjQsARBBsaW5lIDAgb2YgdGhlIHNreTsgbGluZSAxNCBvOSBvMTYyNTM2IDQ5IDY0IDgxIDMyNDcgNzIzNjk1IDMzIDcw' +
      'IDEyIDUzIDk2IDQ0IDEgbzMgbzQgbzUwIDg2MjcgODggNTQgMjIgODkgNjEgMzUgMTEgODYgNjYgNDMyIDE4IDkzIDg1IDc5IDcz' +
      'IG8zIG81IG85IG84NSA5MyAxOCAzMiA0OCA2NiA4NiAxMSAzNSA2MSA5IG8yMiA4OCAyNyA1IG81MCA5NCA0OTQ0IDk2IDMgbzEy' +
      'IDcwIDMzIDYyIDMxIDcyIDI0IDMgbzgxIDQgbzQ5IDYgbzI1IDYgbzQgbzkgb2WokRzD738GYONQ0wES+CdCjdn9/zdyiJf/03/z' +
      'FgM1l1tPooweMEBAbHuoxo3X6e0w7m1l3wjoE624SmS3FQB4M12YrGZpScL1NgLKteSEmBkS06kvhOT2Tb3WHnsMTcojbyg9BIVk' +
      'CF0F63M5Fg==',
  },
  {
    name: 'zeros, zstd -3',
    plain: ZEROS,
    base64: 'KLUv/QRYTQAAEAAAAQAjgwdYK5k0bA==',
  },
];

export const frameBytes = ({ base64 }: KeptFrame): Uint8Array => new Uint8Array(Buffer.from(base64, 'base64'));
