import { crc32 } from '../../lib/formats/crc32.ts';
import { evaluateExpression } from '../../lib/mix/expression.ts';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { recipeFromLink, recipeLink } from '../../lib/recipe/share/link.ts';
import { recipeHash } from '../../lib/recipe/written/hash.ts';
import { openRecipe } from '../../lib/recipe/written/open.ts';
import { recipeText } from '../../lib/recipe/written/serialize.ts';
import { expectClean, type FuzzTarget } from './target.ts';

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const textOf = (bytes: Uint8Array): string => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);

const FULL = `{ "linewash": 1, "name": "all", "channels": ["S", "H", "O"], "x-own": [1, {"a": null}],
  "knobs": { "share": { "value": 0.25, "min": 0, "max": 1, "about": "é" } },
  "matrix": [["0", "1", "-0.1e-1"], ["share", "0", "max(1 - share, 0.5)"], [0, 0, 1]],
  "balance": "white", "white": { "*": 0.5 }, "space": "display-p3", "mixIn": "light",
  "background": { "model": "surface", "order": 2, "from": [0, 0, 10, 10], "at": { "H": 3 }, "coefficients": { "H": [1, 2, 3] } },
  "scale": { "mode": "fit", "to": "H" }, "zeros": "data", "continuum": { "H": { "from": "S", "k": 0.5 } },
  "levels": { "H": { "black": { "noise": 3 }, "white": { "percentile": 99 } } },
  "stretch": { "*": { "curve": "points", "points": [[0.1, 0.2], [0.5, 0.6]] }, "O": { "curve": "asinh", "a": 0.1 } },
  "lightness": ["share", 0, 1], "highlights": "clip", "gamut": "css", "greenLimit": 0.5, "greenMean": "max" }`;
const LINES = '{"lines": {"S": "oklch(0.7 0.1 40)", "H": {"wavelength": 656.28}, "O": "#0af"}, "balance": "peak"}';

const EXPRESSIONS = [
  '1 - share',
  'max(0, min(1, 2 * share - 0.5))',
  'abs(share - 0.5) ^ 2 / (1e-3 + sqrt(pi))',
  'config({})',
  'f(x) = x; [1:3]["constructor"]',
];

/** The values that a good recipe must survive: hash, text and link. */
const readAndUse = async (bytes: Uint8Array): Promise<void> => {
  const recipe = await openRecipe(memorySource('fuzz.json', bytes));
  await recipeHash(recipe);
  const again = await openRecipe(memorySource('fuzz.json', bytesOf(recipeText(recipe))));
  if (recipeText(again) !== recipeText(recipe)) throw new Error('the recipe changed on its way');
};

const links = await Promise.all([
  ...CATALOGUE.slice(0, 4).map(({ recipe }) => recipeLink(recipe, 'https://example.org/')),
  recipeLink(JSON.parse(LINES)),
]);

// The parser is loaded before the first input, so that its loading is not taken for a slow one.
await evaluateExpression('1 - share', new Map([['share', 0.25]]));

const evaluate = async (bytes: Uint8Array): Promise<void> => {
  const result = await evaluateExpression(textOf(bytes), new Map([['share', 0.25]]));
  if ('value' in result ? !Number.isFinite(result.value) : result.fault.message === '')
    throw new Error(`neither a finite value nor a fault: ${JSON.stringify(result)}`);
};

/** A link whose checksum is right whatever was mutated, so that what lies behind it is reached. */
const readSealed = async (bytes: Uint8Array): Promise<void> => {
  const stored = new Uint8Array(4 + 5 + bytes.length);
  const view = new DataView(stored.buffer);
  view.setUint32(0, crc32(bytes));
  // One stored block of deflate (RFC 1951 §3.2.4).
  stored[4] = 1;
  view.setUint16(5, bytes.length, true);
  view.setUint16(7, ~bytes.length, true);
  stored.set(bytes, 9);
  await recipeFromLink(`#recipe=1.${Buffer.from(stored).toString('base64url')}`);
};

/** What the fuzz driver and the tests throw mutated bytes at. */
export const recipeTargets: readonly FuzzTarget[] = [
  {
    name: 'recipe',
    seeds: [FULL, LINES, '{"matrix": [[1,0,0],[0,1,0],[0,0,1]]}', ...CATALOGUE.map((e) => recipeText(e.recipe))].map(
      bytesOf,
    ),
    run: (bytes) => expectClean(() => readAndUse(bytes)),
  },
  {
    name: 'share link',
    seeds: links.map(bytesOf),
    run: (bytes) => expectClean(() => recipeFromLink(textOf(bytes))),
  },
  {
    name: 'sealed share link',
    seeds: [FULL, LINES].map(bytesOf),
    run: (bytes) => expectClean(() => readSealed(bytes)),
  },
  { name: 'expression', seeds: EXPRESSIONS.map(bytesOf), run: evaluate },
];
