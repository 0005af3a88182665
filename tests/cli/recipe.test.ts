import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { run } from '../../lib/cli/program.ts';
import { CATALOGUE, catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);
const recipe = (...line: string[]) => linewash(['recipe', ...line]);
const lines = (text: string) => text.trimEnd().split('\n');

describe('linewash recipe', () => {
  it.each(['new', 'check', 'show', 'link', 'from', 'hash', 'diff', 'list', 'settle', 'hold'])(
    'helps with %s',
    async (verb) => {
      const ran = await recipe(verb, '--help');
      expect(ran.code).toBe(0);
      expect(ran.out).toMatch(/Examples:\n {2}\$ linewash recipe/);
    },
  );

  it('checks several recipes and lists every fault of every one', () =>
    inFolder(async (folder) => {
      const [good, bad, worse] = ['good', 'bad', 'worse'].map((name) => join(folder, `${name}.json`)) as [
        string,
        string,
        string,
      ];
      writeFileSync(good, '{"matrix": [[1,0,0],[0,1,0],[0,0,1]]}');
      writeFileSync(bad, '{"matrix": [[1,0,0],\n[0,"1 +",0],[0,0,1]]}');
      writeFileSync(worse, '{"matrix": 1,\n "gamut": "clop"}');
      const ran = await recipe('check', bad, good, worse);
      expect(ran.code).toBe(2);
      expect(ran.out).toBe(`${good}: no faults\n`);
      expect(ran.err).toContain(`${bad}: one fault`);
      expect(ran.err).toContain('line 2, column 4, $.matrix[1][1]: "1 +": something is missing here');
      expect(ran.err).toContain('line 2, column 11, $.gamut: found "clop"');
      const json = await recipe('check', '--json', bad, good);
      expect(json.code).toBe(2);
      expect(JSON.parse(json.out)).toMatchObject([
        { recipe: bad, tag: 'recipe', faults: [{ path: '$.matrix[1][1]', line: 2, column: 4 }] },
        { recipe: good, hash: expect.stringMatching(/^[\da-f]{4}-[\da-f]{4}-[\da-f]{4}$/) },
      ]);
    }));

  it('shows what a recipe does', async () => {
    const ran = await recipe('show', 'kiln', '--knob', 'share=0.5');
    expect(ran.code, ran.err).toBe(0);
    expect(ran.out).toMatch(/^Kiln \(CC0-1\.0, [\da-f-]{14}\)\n/);
    expect(ran.out).toMatch(/^S +#008000 +0 +0\.5 +0 +120°$/m);
    expect(ran.out).toMatch(/^share +0\.5 +0 +1 +share of S in green$/m);
    expect(ran.out).toMatch(/^rank 3, condition 2\.62$/m);
    expect(ran.out).toContain('hard to tell apart: S and H for protan vision');
    expect(ran.out).not.toContain('\x1b');
  });

  it('shows it as JSON', async () => {
    const { hash, lines: shown, condition } = JSON.parse((await recipe('show', 'hoo', '--json')).out);
    expect(shown.map(({ name, hue }: { name: string; hue: number }) => [name, hue])).toEqual([
      ['H', 0],
      ['O', 180],
    ]);
    expect(condition).toBeCloseTo(Math.SQRT2, 12);
    expect(hash).toBe(lines((await recipe('hash', 'hoo')).out)[0]!.split(' ')[0]);
  });

  it('shows the colours themselves where the terminal can', async () => {
    const said: string[] = [];
    const streams = { out: (text: string) => void said.push(text), err: () => {}, interactive: false, colour: true };
    await run(['recipe', 'show', 'hoo'], streams, new AbortController().signal);
    const out = said.join('');
    expect(out).toContain('\x1b[48;2;255;0;0m    \x1b[0m  H');
    expect(out).toContain('\x1b[48;2;0;255;255m    \x1b[0m  O');
  });

  it('keeps escapes in a recipe from the terminal', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'evil.json');
      writeFileSync(file, '{"name": "\\u001b[31mred", "about": "\\u202egnp", "matrix": [[1,0,0],[0,1,0],[0,0,1]]}');
      const ran = await recipe('show', file);
      expect(ran.code).toBe(0);
      for (const sign of ['\x1b', '\u202e']) expect(ran.out).not.toContain(sign);
    }));

  it('lists the catalogue', async () => {
    expect(lines((await recipe('list')).out)).toHaveLength(CATALOGUE.length + 1);
    expect(JSON.parse((await recipe('list', '--json')).out)).toEqual(CATALOGUE);
  });

  it('says in words how recipes differ', async () => {
    expect(lines((await recipe('diff', 'ember', 'gilt')).out)).toEqual([
      'name: "Ember" → "Gilt"',
      'the description differs',
      'S in green: 0.25 → 0.5',
      'O in green: 0.75 → 0.5',
    ]);
    expect((await recipe('diff', 'ember', 'EMBER')).out).toBe('no difference\n');
    expect(JSON.parse((await recipe('diff', 'ember', 'ember', '--json')).out)).toEqual({ differences: [] });
  });

  it('hands a recipe on as a link, which every verb takes', async () => {
    const link = (await recipe('link', 'kiln', '--knob', 'share=0.4', '--page', 'https://example.org/')).out.trim();
    expect(link).toMatch(/^https:\/\/example\.org\/#recipe=1\./);
    const kiln = catalogueRecipe('kiln');
    const turned = { ...kiln, knobs: { share: { ...kiln.knobs!.share, value: 0.4 } } };
    expect(JSON.parse((await recipe('from', link)).out)).toEqual(turned);
    expect((await recipe('diff', 'kiln', link)).out).toContain('S in green: 0.35 → 0.4');
    const broken = await recipe('show', link.slice(0, -9));
    expect(broken.code).toBe(2);
    expect(broken.err).toContain('copy the whole link again');
  });

  it('refuses knobs that are none', async () => {
    expect(await recipe('show', 'kiln', '--knob', 'shaer=1')).toMatchObject({ code: 2, out: '' });
    expect((await recipe('show', 'kiln', '--knob', 'share=2')).err).toContain('share takes 0 to 1, not 2');
    expect((await recipe('show', 'kiln', '--knob', 'share=0,5')).err).toContain('NAME=NUMBER');
    expect((await recipe('show', 'kiln', '--knob', 'share')).code).toBe(2);
    expect((await recipe('show', 'hoo', '--knob', 'share=1')).err).toContain('its knobs: none');
  });

  it('suggests the name that was meant', async () => {
    expect((await recipe('show', 'embr')).err).toContain('did you mean ember?');
  });
});

describe('a picture that carries its recipe', () => {
  it.each(['tif', 'png', 'jpg', 'fits'])('gives it back: .%s', (ending) =>
    inFolder(async (folder) => {
      const output = join(folder, `out.${ending}`);
      const ran = await linewash(['mix', 'kiln', ...words, '-o', output, '--knob', 'share=0.6']);
      expect(ran.code, ran.err).toBe(0);
      const kiln = catalogueRecipe('kiln');
      const turned = { ...kiln, knobs: { share: { ...kiln.knobs!.share, value: 0.6 } } };
      expect(JSON.parse((await recipe('from', output)).out)).toEqual(turned);
      // And is a recipe wherever one is wanted.
      const again = join(folder, 'again.tif');
      const second = await linewash(['mix', output, ...words, '-o', again]);
      expect(second.code, second.err).toBe(0);
      expect((await recipe('diff', output, again)).out).toBe('no difference\n');
    }),
  );

  it('is not a master, nor a file that only looks like one', () =>
    inFolder(async (folder) => {
      const none = await recipe('from', SMALL.H);
      expect(none.code).toBe(2);
      expect(none.err).toContain('contains no recipe');
      const binary = join(folder, 'binary.json');
      writeFileSync(binary, Uint8Array.of(0xff, 0x00, 0xfe));
      expect((await recipe('from', binary)).err).toContain('not text in UTF-8');
      const foreign = join(folder, 'foreign.png');
      await linewash(['mix', 'hoo', ...words, '-o', foreign, '--bits', '8']);
      const bytes = readFileSync(foreign);
      const at = bytes.indexOf('"recipe"');
      bytes.write('"rexipe"', at, 'latin1');
      writeFileSync(foreign, bytes);
      expect(await recipe('from', foreign)).toMatchObject({ code: 2, out: '' });
    }));
});

describe('knobs on a sheet', () => {
  it('turn every recipe that has them, and must be known to one', () =>
    inFolder(async (folder) => {
      const sheet = (...more: string[]) =>
        linewash(['sheet', 'hoo', 'kiln', ...words, '-o', join(folder, 's.png'), '--size', '64', '--force', ...more]);
      expect((await sheet()).code).toBe(0);
      const plain = readFileSync(join(folder, 's.png'));
      expect((await sheet('--knob', 'share=1')).code).toBe(0);
      expect(readFileSync(join(folder, 's.png')).equals(plain)).toBe(false);
      const unknown = await sheet('--knob', 'tint=0.1');
      expect(unknown.code).toBe(2);
      expect(unknown.err).toContain('none of these recipes has the knob tint');
    }));
});
