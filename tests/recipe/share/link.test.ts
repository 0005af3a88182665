import { deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32 } from '../../../lib/formats/crc32.ts';
import { CATALOGUE } from '../../../lib/palettes/catalogue.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { isLink, recipeFromLink, recipeLink } from '../../../lib/recipe/share/link.ts';
import { leastTime } from '../../processor-time.ts';
import { lineRecipe, rowRecipe } from '../written/arbitrary.ts';
import { faultsOf, SHO } from '../written/fault.ts';

/** A link made here, from any text and with any checksum. */
const linkOf = (json: string | Uint8Array, checksum?: number): string => {
  const bytes = typeof json === 'string' ? Buffer.from(json) : Buffer.from(json);
  const head = Buffer.alloc(4);
  head.writeUInt32BE(checksum ?? crc32(bytes));
  return `#recipe=1.${Buffer.concat([head, deflateRawSync(bytes, { level: 9 })]).toString('base64url')}`;
};
const messageOf = async (link: string) => (await faultsOf(() => recipeFromLink(link)))[0]!.message;

describe('a share link', () => {
  it.each(CATALOGUE.map(({ id, recipe }) => [id, recipe] as const))(
    'holds %s in at most 2,000 characters',
    async (_, recipe) => {
      const link = await recipeLink(recipe, 'https://example.org/some/folder/');
      expect(link.length).toBeLessThanOrEqual(2000);
      expect(link).toMatch(/^https:\/\/example\.org\/some\/folder\/#recipe=1\.[\w-]+$/);
      expect(await recipeFromLink(link)).toEqual(recipe);
    },
  );

  it('brings back any recipe', () =>
    fc.assert(
      fc.asyncProperty(fc.oneof(rowRecipe, lineRecipe), async (recipe) => {
        expect(await recipeFromLink(await recipeLink(recipe))).toEqual(
          JSON.parse(JSON.stringify({ linewash: 2, ...recipe })),
        );
      }),
      { numRuns: 200 },
    ));

  it('is understood with another fragment around it, and without its page', async () => {
    const link = linkOf(JSON.stringify({ matrix: SHO }));
    for (const form of [link, link.slice(1), `http://localhost/${link}&other=1`, `x#a=1&${link.slice(1)}`]) {
      expect(isLink(form)).toBe(true);
      // Links that state no version were made by the first.
      expect(await recipeFromLink(form)).toEqual({ linewash: 2, matrix: SHO, gamut: 'chroma' });
    }
    for (const form of ['ember', 'recipes/recipe.json', '', 'myrecipe=1']) expect(isLink(form)).toBe(false);
    // An address that had a fragment already loses it.
    expect(await recipeLink({ matrix: SHO }, 'https://example.org/#recipe=1.old')).not.toContain('old');
  });

  it('says what is wrong with it', async () => {
    const good = linkOf(JSON.stringify({ matrix: SHO }));
    expect(await messageOf(good.replace('=1.', '=2.'))).toMatch(/version 2; .* update linewash/);
    expect(await messageOf(good.replace('=1.', '=.'))).toMatch(/does not contain a version/);
    expect(await messageOf(good.replace('=1.', '=x.'))).toMatch(/does not contain a version/);
    expect(await messageOf(good.slice(0, 12))).toMatch(/cut off/);
    for (const strange of [`${good}!`, good.replace('1.', '1.!')])
      expect(await messageOf(strange)).toMatch(/holds other characters/);
    expect(await messageOf(good.slice(0, -6))).toMatch(/damaged|cut off/);
    expect(await messageOf(`${good.slice(0, -3)}!!!`)).toMatch(/other characters/);
    expect(await messageOf(linkOf(JSON.stringify({ matrix: SHO }), 12345))).toMatch(/checksum/);
    expect(await messageOf('https://example.org/')).toMatch(/holds no recipe=/);
    expect(await messageOf(linkOf('{"matrix": 3}'))).toMatch(/three rows/);
    expect(await messageOf(linkOf('{"matrix": [[1,0,0],[0,"1/0",0],[0,0,1]]}'))).toMatch(/gives Infinity/);
    expect(await messageOf(linkOf('not json'))).toMatch(/not valid JSON/);
    expect(await messageOf(linkOf(Uint8Array.of(0xff, 0xfe, 0x7b)))).toMatch(/not valid JSON/);
  });

  it('is refused beyond 8 KiB, and does not inflate beyond 64 KiB', async () => {
    expect(await messageOf(`#recipe=1.${'A'.repeat(8192)}`)).toMatch(/more than 8192 characters/);
    const bomb = linkOf('['.repeat(2_000_000));
    expect(bomb.length).toBeLessThan(8192);
    expect(await messageOf(bomb)).toMatch(/more than 65536 bytes/);
    expect(await leastTime(() => messageOf(bomb))).toBeLessThan(100);
  });

  it('is not made for a recipe that it could not hold', async () => {
    const noise = Array.from({ length: 2000 }, (_, i) => ((i * 7919) % 90) + 33);
    const about = String.fromCharCode(...noise);
    const held = await recipeLink({ matrix: SHO, about });
    expect(held.length).toBeLessThan(8192);
    const own = { matrix: SHO, 'x-own': 'x'.repeat(70_000) };
    await expect(recipeLink(own)).rejects.toThrow(LinewashError);
    const random = { matrix: SHO, 'x-own': Array.from({ length: 3000 }, (_, i) => Math.sin(i)) };
    await expect(recipeLink(random)).rejects.toThrow(/too long for a link/);
  });

  it('finds every single changed character', async () => {
    const good = linkOf(JSON.stringify({ matrix: SHO }));
    const start = good.indexOf('.') + 1;
    for (let i = start; i < good.length - 1; i++) {
      const changed = good.slice(0, i) + (good[i] === 'A' ? 'B' : 'A') + good.slice(i + 1);
      await expect(recipeFromLink(changed), `at ${i}`).rejects.toThrow(LinewashError);
    }
  });
});
