import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadRecipe } from '../../../lib/recipe/written/parse.ts';
import { faultsOf } from './fault.ts';

const M = '[[1,0,0],[0,1,0],[0,0,1]]';
/** A recipe that is in order but for the members given. */
const good = (members: string) => `{"matrix": ${M}, ${members}}`;

/** What is wrong, where it is found, and what is said. */
const BAD: readonly (readonly [text: string, path: string, message: RegExp])[] = [
  ['[]', '$', /JSON object/],
  ['null', '$', /JSON object/],
  ['"sho"', '$', /JSON object/],
  ['{}', '$.matrix', /missing/],
  ['{"matrix": null}', '$.matrix', /three rows/],
  ['{"matrix": {}}', '$.matrix', /three rows/],
  ['{"matrix": [[1,0,0],[0,1,0]]}', '$.matrix', /three rows/],
  ['{"matrix": [[1],[1],[1],[1]], "channels": ["H"]}', '$.matrix', /three rows/],
  ['{"matrix": [[1,0],[0,1],[0,1]]}', '$.matrix[0]', /2 weights for 3 channels; name the channels/],
  ['{"matrix": [[1,0,0],[0,1],[0,0,1]]}', '$.matrix[1]', /2 weights for 3/],
  ['{"matrix": [[1,0,0],"0,1,0",[0,0,1]]}', '$.matrix[1]', /a row of weights/],
  ['{"matrix": [[1,0,0],[0,1,0],[0,0,null]]}', '$.matrix[2][2]', /found null; a weight is a number/],
  ['{"matrix": [[1,0,0],[0,true,0],[0,0,1]]}', '$.matrix[1][1]', /found true/],
  ['{"matrix": [[[1],0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /a weight is a number/],
  ['{"matrix": [[1e999,0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /finite/],
  ['{"matrix": [[1001,0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /largest allowed is 1000/],
  ['{"matrix": [[-1e9,0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /smallest allowed is -1000/],
  ['{"matrix": [["",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /empty weight/],
  ['{"matrix": [["  ",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /empty weight/],
  ['{"matrix": [["0,5",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /"0,5": .*decimals take a point \(character 2\)/],
  ['{"matrix": [["share",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /no knob share; the recipe has no "knobs"/],
  ['{"matrix": [["1 / 0",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /gives Infinity/],
  ['{"matrix": [["1 +",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /something is missing here \(character 4\)/],
  ['{"matrix": [["50 ^ 2",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /gives 2500, which is not within -1000 to 1000/],
  ['{"matrix": [["2000",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /gives 2000/],
  [`{"matrix": [["${'1+'.repeat(250)}1",0,0],[0,1,0],[0,0,1]]}`, '$.matrix[0][0]', /at most 500 characters/],
  ['{"matrix": [["config({})",0,0],[0,1,0],[0,0,1]]}', '$.matrix[0][0]', /no knob config/],
  [good('"linewash": 3'), '$.linewash', /version 3; this linewash reads version 2: update linewash/],
  [good('"linewash": 0'), '$.linewash', /no version 0/],
  [good('"linewash": -1e300'), '$.linewash', /no version -1e\+300/],
  [good('"linewash": 1.5'), '$.linewash', /found 1.5/],
  [good('"linewash": "1"'), '$.linewash', /found "1"/],
  [good('"nmae": "x"'), '$.nmae', /unknown key \(did you mean name\?\)/],
  [good('"X-note": 1'), '$.X-note', /unknown key/],
  [good('"name": 7'), '$.name', /expected text/],
  [good(`"name": "${'n'.repeat(121)}"`), '$.name', /at most 120/],
  [good('"channels": ["S", "H"]'), '$.matrix[0]', /3 weights for 2 channels/],
  [good('"channels": ["S", "H", "h"]'), '$.channels[2]', /twice/],
  [good('"channels": ["S", "H", "../O"]'), '$.channels[2]', /a channel name is a letter/],
  [good('"channels": ["S", "H", ""]'), '$.channels[2]', /a channel name/],
  [good('"channels": []'), '$.channels', /./],
  [good('"balance": "row"'), '$.balance', /found "row"; allowed: .*\(did you mean rows\?\)/],
  [good('"balance": "white"'), '$.balance', /needs "white"/],
  [good('"balance": "equal-light"'), '$.balance', /"mixIn": "light"/],
  ['{"matrix": [[1,0,0],[0.5,-0.5,0],[0,0,1]], "balance": "rows"}', '$.matrix[1]', /green sum to 0/],
  [good('"white": {"H": 2}, "balance": "white"'), '$.white.H', /largest allowed is 1/],
  [good('"white": {"Q": 1}'), '$.white.Q', /no channel Q; channels: S, H, O/],
  [good('"space": "SRGB"'), '$.space', /did you mean srgb/],
  [good('"mixIn": "dark"'), '$.mixIn', /allowed: display, light/],
  [good('"gamut": 1'), '$.gamut', /found 1/],
  [good('"stretch": {"Q": {}}'), '$.stretch.Q', /no channel Q/],
  [good('"stretch": {"*": {"curve": "power", "a": -1}}'), "$.stretch['*'].a", /./],
  [good('"stretch": {"*": {"curve": "bias", "a": 2}}'), "$.stretch['*'].a", /found 2; bias takes/],
  [good('"stretch": {"H": {"curve": "bias", "points": [[0.1, 0.2]]}}'), '$.stretch.H.points', /bias takes no points/],
  [good('"stretch": {"H": {"curve": "linear", "a": 1}}'), '$.stretch.H.a', /linear has no parameter a/],
  [good('"stretch": {"H": {"curve": "points"}}'), '$.stretch.H.points', /at least one point/],
  [good('"stretch": {"H": {"curve": "points", "points": [[0.5, 0.5], [0.4, 0.6]]}}'), '$.stretch.H.points[1]', /rise/],
  [good('"stretch": {"H": {"curv": "bias"}}'), '$.stretch.H.curv', /unknown key \(did you mean curve\?\)/],
  [good('"stretch": []'), '$.stretch', /./],
  [good('"levels": {"H": {"white": {"percentile": 10}}}'), '$.levels.H.white.percentile', /smallest allowed is 50/],
  [good('"lightness": "Q"'), '$.lightness', /found "Q"; allowed: least-noise, S, H, O/],
  [good('"lightness": [1, 0]'), '$.lightness', /2 weights for 3 channels/],
  [good('"lightness": [0, 0, 0]'), '$.lightness', /all weights are zero/],
  [good('"lightness": [0, "x", 0]'), '$.lightness[1]', /no knob x/],
  [good('"greenLimit": 1.5'), '$.greenLimit', /largest allowed is 1/],
  [good('"knobs": {"1a": {"value": 1}}'), "$.knobs['1a']", /a knob is named with a letter/],
  [good('"knobs": {"min": {"value": 1}}'), '$.knobs.min', /meaning of its own/],
  [good('"knobs": {"k": {}}'), '$.knobs.k.value', /missing/],
  [good('"knobs": {"k": 0.5}'), '$.knobs.k', /./],
  [good('"knobs": {"k": {"value": 2}}'), '$.knobs.k.value', /takes 0 to 1/],
  [good('"knobs": {"k": {"value": 1, "min": 1, "max": 1}}'), '$.knobs.k', /min 1 is not below max 1/],
  [good('"lines": {"S": "red", "H": "lime", "O": "blue"}'), '$.lines', /either "matrix" or "lines"/],
  ['{"lines": {}}', '$.lines', /1 to 8 lines/],
  ['{"lines": {"S": "red"}, "channels": ["S", "H"]}', '$.lines', /channel H is missing/],
  ['{"lines": {"S": "red", "H": "blue"}, "channels": ["S"]}', '$.lines.H', /no channel H/],
  ['{"lines": {"*": "red"}}', "$.lines['*']", /a channel name/],
  ['{"lines": {"S": "reddish"}}', '$.lines.S', /not a CSS colour/],
  ['{"lines": {"S": "rgb(255 0 0 / 50%)"}}', '$.lines.S', /transparent/],
  ['{"lines": {"S": "url(javascript:alert(1))"}}', '$.lines.S', /not a CSS colour/],
  ['{"lines": {"S": 656}}', '$.lines.S', /a CSS colour or/],
  ['{"lines": {"S": {"wavelength": 1000}}}', '$.lines.S.wavelength', /largest allowed is 780/],
  ['{"lines": {"S": {"nm": 656}}}', '$.lines.S', /./],
  [`{"__proto__": {"matrix": ${M}}}`, '$.__proto__', /not allowed/],
  [good('"constructor": {}'), '$.constructor', /not allowed/],
  [good('"x-mine": {"prototype": 1}'), '$.x-mine.prototype', /not allowed/],
  [good('"name": "a", "name": "b"'), '$.name', /twice/],
  [good('"x-a": NaN'), '$', /not valid JSON/],
  [good(`"x-deep": ${'['.repeat(40)}${']'.repeat(40)}`), '$', /nested more than 32/],
  [`{"matrix": ${M}, "x-long": "${'x'.repeat(1 << 20)}"}`, '$', /longer than/],
];

describe('a bad recipe', () => {
  it.each(BAD.map(([text, path, message]) => [text.slice(0, 90), text, path, message] as const))(
    '%s',
    async (_, text, path, message) => {
      const faults = await faultsOf(() => loadRecipe(text, 'bad.json'));
      const found = faults.find(
        (fault) => fault.path === path.replace('$.X-note', "$['X-note']").replace('$.x-mine', "$['x-mine']"),
      );
      expect(found, JSON.stringify(faults)).toBeDefined();
      expect(found!.message).toMatch(message);
      expect(found!.message.endsWith('.')).toBe(false);
      expect(found!.line).toBeGreaterThanOrEqual(1);
      expect(found!.column).toBeGreaterThanOrEqual(1);
    },
  );

  it('has all its faults listed at once, each with its line', async () => {
    const text = '{\n  "matrix": [\n    [1, 0, null],\n    ["0,5", 1, 0],\n    [0, 0, 1]\n  ],\n  "gamut": "clop"\n}';
    expect(await faultsOf(() => loadRecipe(text))).toMatchObject([
      { path: '$.matrix[0][2]', line: 3, column: 12 },
      { path: '$.matrix[1][0]', line: 4, column: 6, message: expect.stringContaining('decimals take a point') },
      { path: '$.gamut', line: 7, column: 12, message: expect.stringContaining('did you mean clip?') },
    ]);
    const expressions = '{\n "matrix": [\n  ["1 +", 0, 0],\n  [0, "1/0", 0],\n  [0, 0, 1]]}';
    expect(await faultsOf(() => loadRecipe(expressions))).toMatchObject([
      { path: '$.matrix[0][0]', line: 3, column: 4 },
      { path: '$.matrix[1][1]', line: 4, column: 7 },
    ]);
  });
});

const folder = '../shared/faults/recipes';

describe.skipIf(!existsSync(folder))('a recipe file seen in the wild', () => {
  const load = (name: string) => loadRecipe(readFileSync(`${folder}/${name}.json`, 'utf8'), name);

  it.each([
    ['f45_duplicate_keys', '$.matrix', /twice/],
    ['f46_nan', '$', /not valid JSON/],
    ['f46c_null_weight', '$.matrix[0][0]', /found null/],
    ['f46d_string_weight', '$.matrix[2][2]', /found true/],
    ['f46f_deep', '$', /nested/],
    ['f48_xss_name', '$.description', /unknown key/],
    ['f49_unicode_names', '$', /JSON object/],
  ])('%s is refused at %s', async (name, path, message) => {
    const faults = await faultsOf(() => load(name));
    const found = faults.find((fault) => fault.path === path);
    expect(found?.message, JSON.stringify(faults)).toMatch(message);
  });

  it('is read where only its texts are odd, and they stay text', async () => {
    expect((await load('f48b_path_name')).name).toBe('../../../../tmp/evil\u0000.png');
    expect((await load('f46e_bom')).name).toBe('a');
    expect((await load('f37_rows_not_one')).matrix![2]).toEqual([0, 0, 1.4]);
  });
});
