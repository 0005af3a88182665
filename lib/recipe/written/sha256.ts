import { sha256 as digest } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

/**
 * SHA-256 (FIPS 180-4) of short texts, in hexadecimal, at once: the platform's own makes callers wait, and is missing on
 * pages that are not served securely, which a page on one's own machine may be.
 */
export const sha256 = (message: Uint8Array): string => bytesToHex(digest(message));
