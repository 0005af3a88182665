import { crc32 } from '../../formats/crc32.ts';
import { inflate, OUTPUT_MARGIN, startInflate } from '../../formats/fits/inflate.ts';
import { inputError, recipeError } from '../../plane/errors.ts';
import { inOrder } from '../written/in-order.ts';
import { loadRecipe } from '../written/parse.ts';
import type { WrittenRecipe } from '../written/schema.ts';

/** What comes before a recipe in the fragment of an address, so that nothing of it ever reaches a server. */
const KEY = 'recipe=';
/** Version of the link itself. The recipe inside states its own; in links that were made before it did, it is 1. */
const LINK_VERSION = '1';
/** Longest link, in characters. */
export const MAX_LINK = 8192;
/** Longest recipe that a link can hold, in bytes of JSON. */
const MAX_TEXT = 1 << 16;
const CHECKSUM = 4;

/** Whether a text looks like a link that carries a recipe, or like the fragment of one. */
export const isLink = (text: string): boolean => new RegExp(`(^|[#&?])${KEY}`).test(text.slice(0, MAX_LINK));

/**
 * A recipe as a link: `#recipe=1.` and base64url (RFC 4648 §5) of a CRC-32 of the JSON and the JSON deflated (RFC 1951).
 * @param page the address of a playground; without it the fragment alone, which any of them takes
 * @throws LinewashError 'input' where the recipe is too long for a link
 */
export const recipeLink = async (recipe: WrittenRecipe, page = ''): Promise<string> => {
  const json = new TextEncoder().encode(JSON.stringify(inOrder(recipe)));
  if (json.length > MAX_TEXT) throw tooLong();
  const deflated = await deflateRaw(json);
  const bytes = new Uint8Array(CHECKSUM + deflated.length);
  new DataView(bytes.buffer).setUint32(0, crc32(json));
  bytes.set(deflated, CHECKSUM);
  const link = `${page.replace(/#.*/s, '')}#${KEY}${LINK_VERSION}.${toBase64(bytes)}`;
  if (link.length > MAX_LINK) throw tooLong();
  return link;
};

const tooLong = () => inputError('the recipe is too long for a link', 'shorten its texts, or share the file instead');

/**
 * The recipe in a link.
 * @throws LinewashError 'recipe' for anything but a whole link of a known version with a good recipe.
 */
export const recipeFromLink = async (link: string): Promise<WrittenRecipe> => {
  const name = 'the link';
  if (link.length > MAX_LINK) throw fault(`it has more than ${MAX_LINK} characters`);
  const [, version, data] = new RegExp(`(?:^|[#&?])${KEY}(\\w*)\\.?([^&#\\s]*)`).exec(link) ?? [];
  if (version === undefined || data === undefined) throw fault(`it holds no ${KEY}`);
  if (version !== LINK_VERSION)
    throw fault(
      Number(version) > Number(LINK_VERSION)
        ? `it is of version ${version}; this linewash reads version ${LINK_VERSION}: update linewash`
        : 'it does not contain a version',
    );
  const bytes = fromBase64(data);
  if (bytes === undefined || bytes.length <= CHECKSUM) throw fault('it is cut off or holds other characters');
  const json = inflateRaw(bytes.subarray(CHECKSUM));
  if (crc32(json) !== new DataView(bytes.buffer).getUint32(0)) throw fault('it is damaged: its checksum differs');
  return await loadRecipe(new TextDecoder('utf-8', { ignoreBOM: true }).decode(json), name, 1);
};

const fault = (message: string) =>
  recipeError([{ path: '$', message }], 'the link', 'copy the whole link again, or ask for the recipe as a file');

/** The platform offers raw deflate only lately; the zlib format (RFC 1950) is two bytes before it and four behind. */
const deflateRaw = async (bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array> => {
  const stream = new CompressionStream('deflate');
  const writer = stream.writable.getWriter();
  const written = writer.write(bytes).then(() => writer.close());
  const zlib: number[] = [];
  const reader = stream.readable.getReader();
  for (let part = await reader.read(); !part.done; part = await reader.read()) zlib.push(...part.value);
  await written;
  return Uint8Array.from(zlib).subarray(2, -4);
};

const inflateRaw = (bytes: Uint8Array): Uint8Array => {
  const out = new Uint8Array(MAX_TEXT + OUTPUT_MARGIN);
  const state = startInflate();
  const wrong = inflate(state, bytes, true, out);
  if (wrong !== 'ok') throw fault(`it is damaged: ${wrong}`);
  if (state.mode !== 'done') throw fault(`it holds more than ${MAX_TEXT} bytes`);
  return out.subarray(0, state.at);
};

const toBase64 = (bytes: Uint8Array): string =>
  btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');

const fromBase64 = (text: string): Uint8Array<ArrayBuffer> | undefined => {
  if (!/^[\w-]+$/.test(text) || text.length % 4 === 1) return undefined;
  const binary = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(binary, (c) => c.charCodeAt(0));
};
